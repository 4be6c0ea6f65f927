// The contract's week as the chart's plain data.
import type { PoolSheet, WeekView, WireStrip } from '../contract'
import { addDays, weekClock } from '../time'
import { answerWord, kindWord, wayWord } from '../words'
import type { AxisDay } from './axis'
import type { CrewDay, Lane, Shut, Stop, Strip } from './plan'

/** Everything the chart needs of a week. */
export interface Drawn {
  days: AxisDay[]
  lanes: Lane[]
  strips: Strip[]
  shut: Shut[]
  now: number
}

const at = (utc: string): number => Date.parse(utc) / 1000
const maybe = (utc: string | undefined): number | null => (utc ? at(utc) : null)

/** Unix seconds of the view's instants, words for its codes. */
export function fromView(view: WeekView): Drawn {
  const parts = partsOf(view)
  const lanes = view.lanes.map((lane): Lane => {
    const days = lane.days.map((day): CrewDay => {
      const stops = day.stops
        .map((s): Stop => ({
          id: s.visit_id,
          jobId: s.job_id,
          name: s.site_name || s.customer_name,
          kind: s.kind,
          act: parts.get(s.visit_id) ?? kindWord(s.kind),
          leave: at(s.drive_from_at ?? s.arrive_at),
          straight: s.drive_straight === true,
          arrive: at(s.arrive_at),
          start: at(s.start_at),
          end: at(s.end_at),
          slack: s.slack_seconds ?? null,
          binds: s.binds ?? '',
          begun: ['under_way', 'done', 'wasted'].includes(s.state),
        }))
        .sort((a, b) => a.start - b.start)
      const from = maybe(day.lunch_from)
      const to = maybe(day.lunch_to)
      return {
        date: day.day,
        depart: maybe(day.depart_at) ?? stops[0]?.arrive ?? at(day.shift_from),
        back: maybe(day.return_at) ?? stops[stops.length - 1]?.end ?? at(day.shift_from),
        stops,
        lunch: from !== null && to !== null ? { start: from, end: to } : null,
        pumps: day.morning_pumps,
      }
    })
    return { crewId: lane.crew_id, name: lane.crew_name, detail: lane.people.join(', '), days }
  })
  const stops = new Map(lanes.flatMap((l) => l.days.flatMap((d) => d.stops)).map((s) => [s.id, s]))
  const promises = new Map<string, { from: number; to: number }[]>()
  for (const stop of view.lanes.flatMap((l) => l.days.flatMap((d) => d.stops))) {
    const from = maybe(stop.promise_from)
    const to = maybe(stop.promise_to)
    if (from !== null && to !== null) promises.set(stop.job_id, [...(promises.get(stop.job_id) ?? []), { from, to }])
  }
  const strips = view.strips
    .map((s) => stripOf(s, stops, promises.get(s.job_id) ?? [], view.zone))
    .sort((a, b) => lowAt(a) - lowAt(b))
  const shut = view.closures
    .filter((c) => c.kind === 'everything')
    .map((c) => ({ from: at(c.from_at), to: at(c.to_at), why: c.reason }))
  return { days: daysOf(view), lanes, strips, shut, now: at(view.now) }
}

/** One strip of the contract; the pool sheet draws it without a week around it. */
export function stripOf(s: WireStrip, stops: Map<string, Stop>, promised: { from: number; to: number }[], zone: string): Strip {
  const told = s.told_from && s.told_to ? { from: at(s.told_from), to: at(s.told_to) } : null
  const limit = maybe(s.limit_at)
  return {
    jobId: s.job_id,
    name: s.site_name || s.customer_name,
    detail: [`no. ${s.job_number}`, wayWord(s.way_low), s.confirmed && answerWord(s.confirmed)].filter(Boolean).join(' · '),
    // The contract counts thousandths down from full; the picture counts up from low.
    curve: s.points.map((p) => ({ at: at(p.at), high: 1 - p.late / 1000, low: 1 - p.early / 1000 })).sort((a, b) => a.at - b.at),
    visits: s.visit_ids.flatMap((id) => {
      const stop = stops.get(id)
      return stop ? [{ id, kind: stop.kind, act: stop.act, start: stop.start, end: stop.end }] : []
    }),
    promised,
    told,
    // The page's own words: one form of time in one picture.
    limit: limit === null ? null : { at: limit, text: `covered by ${weekClock(limit, zone)} at the latest` },
  }
}

/** The strip on a pool sheet, with the sheet's own visits; undefined where the water is not planned. */
export function stripOfSheet(sheet: PoolSheet, zone: string): Strip | undefined {
  if (!sheet.strip) return undefined
  const stops = new Map(
    sheet.stops.map((s): [string, Stop] => [
      s.visit_id,
      {
        id: s.visit_id,
        jobId: s.job_id,
        name: s.site_name,
        kind: s.kind,
        act: kindWord(s.kind),
        leave: at(s.arrive_at),
        arrive: at(s.arrive_at),
        start: at(s.start_at),
        end: at(s.end_at),
        slack: null,
        binds: '',
        begun: false,
      },
    ]),
  )
  const promised = sheet.stops.flatMap((s) =>
    s.promise_from && s.promise_to ? [{ from: at(s.promise_from), to: at(s.promise_to) }] : [],
  )
  return stripOf(sheet.strip, stops, promised, zone)
}

/** When the pool stands low first; pools without a low water last. */
function lowAt(strip: Strip): number {
  return strip.curve.find((p) => p.high < 0.05)?.at ?? Infinity
}

/** "convert, part 2 of 3" where a job has several visits of one kind. */
function partsOf(view: WeekView): Map<string, string> {
  const byKind = new Map<string, { id: string; start: number }[]>()
  for (const stop of view.lanes.flatMap((l) => l.days.flatMap((d) => d.stops))) {
    const key = `${stop.job_id} ${stop.kind}`
    byKind.set(key, [...(byKind.get(key) ?? []), { id: stop.visit_id, start: at(stop.start_at) }])
  }
  const names = new Map<string, string>()
  for (const [key, visits] of byKind) {
    if (visits.length < 2) continue
    visits.sort((a, b) => a.start - b.start)
    for (const [i, v] of visits.entries())
      names.set(v.id, `${kindWord(key.split(' ')[1] ?? '')}, part ${i + 1} of ${visits.length}`)
  }
  return names
}

const hour = 3_600

/**
 * The axis's days: wide from an hour before the earliest shift to an hour after the latest, the same on each day, so
 * that days compare. A day on which no crew works is all night.
 */
function daysOf(view: WeekView): AxisDay[] {
  const starts = view.day_starts.map(at)
  let from = 8 * hour
  let to = 17 * hour
  const stretch = (utc: string | undefined): void => {
    if (!utc) return
    const t = at(utc)
    const i = starts.findIndex((s, n) => t >= s && t < (starts[n + 1] ?? Infinity))
    if (i < 0) return
    const into = t - (starts[i] as number)
    from = Math.min(from, into)
    to = Math.max(to, into)
  }
  for (const day of view.lanes.flatMap((l) => l.days)) {
    for (const t of [day.shift_from, day.shift_to, day.depart_at, day.return_at]) stretch(t)
  }
  from = Math.max(5 * hour, Math.floor(from / hour - 0.5) * hour)
  to = Math.min(21 * hour, Math.ceil(to / hour + 0.5) * hour)
  return starts.slice(0, -1).map((start, i) => {
    const end = starts[i + 1] as number
    const date = addDays(view.first_day, i)
    const worked = view.lanes.length === 0 || view.lanes.some((l) => l.days.some((d) => d.day === date))
    return worked
      ? { date, start, end, wideFrom: start + from, wideTo: Math.min(end, start + to) }
      : { date, start, end, wideFrom: end, wideTo: end }
  })
}
