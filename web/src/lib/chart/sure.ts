// Puts what is known beside the plan onto its stops: how sure they are, and when they are to be expected today.
import type { DayNow, Odds } from '../contract'
import { permille } from '../amounts'
import type { Kept, Lane, Standing } from './plan'

/** "loose", "tight", or that nobody knows. */
export const standingWord = (standing: Standing): string => (standing === 'not_known' ? 'not known yet' : standing)

/** "promise tight, kept 83 % (±2)" */
export function sayKept(kept: Kept): string {
  if (kept.standing === 'not_known') return 'how sure its promise is: not known yet'
  return `promise ${kept.standing}, kept ${permille(kept.permille, kept.margin)}`
}

const at = (utc: string): number => Date.parse(utc) / 1000

/** The lanes with what the odds say of their promises and days. */
export function withOdds(lanes: Lane[], odds: Odds | undefined): Lane[] {
  if (!odds) return lanes
  const kept = new Map(
    odds.promises.map((p) => [p.visit_id, { standing: p.standing, permille: p.kept_permille, margin: p.margin_permille }]),
  )
  const days = new Map(odds.days.map((d) => [`${d.crew_id} ${d.day}`, d.standing]))
  return lanes.map((lane) => ({
    ...lane,
    days: lane.days.map((day) => {
      const standing = days.get(`${lane.crewId} ${day.date}`)
      return {
        ...day,
        ...(standing && day.stops.length ? { standing } : {}),
        stops: day.stops.map((s) => {
          const found = kept.get(s.id)
          return found ? { ...s, kept: found } : s
        }),
      }
    }),
  }))
}

/** The lanes with when each stop of today is to be expected; a few minutes are no news. */
export function withNow(lanes: Lane[], now: DayNow | undefined, news = 300): Lane[] {
  if (!now) return lanes
  const found = new Map(now.crews.flatMap((c) => c.stops).map((s) => [s.visit_id, s]))
  return lanes.map((lane) => ({
    ...lane,
    days: lane.days.map((day) =>
      day.date !== now.day
        ? day
        : {
            ...day,
            stops: day.stops.map((s) => {
              const f = found.get(s.id)
              if (!f || s.begun || Math.abs(at(f.expected_at) - s.start) < news) return s
              const late = f.late_seconds !== undefined && f.late_seconds > 0
              return { ...s, expected: { start: at(f.expected_at), end: at(f.expected_end_at), late } }
            }),
          },
    ),
  }))
}
