// What the map draws of a week, as plain data: where pools and yards are, how their water stands, who comes when,
// and the ways that crews drive.
import type { Drawn } from '../chart/view'
import type { Stop } from '../chart/plan'
import { levelAt, stretches } from '../chart/water'
import type { MapPlace, WeekMap } from '../contract'

/** Longitude and latitude in degrees, in the order that map libraries want. */
export type At = [number, number]

/** A crew on the map: its letter is its second sign beside the colour. */
export interface CrewKey {
  id: string
  name: string
  letter: string
  /** Place among the colours. */
  hue: number
}

/** One coming to a place: the crew's stop and its place in the crew's day. */
export interface Coming {
  crew: CrewKey
  order: number
  day: string
  stop: Stop
}

/** A place as it is drawn. */
export interface Pin {
  id: string
  home: boolean
  name: string
  street: string
  /** How well the place is known, in words. */
  says: string
  /** Drives are straight lines. */
  straight: boolean
  /** The precision is less than the house. */
  rough: boolean
  at: At | null
  jobIds: string[]
  comings: Coming[]
  /** What stands on it: "A2"; '' where nobody comes. */
  label: string
  /** The water, 0 low to 1 full; null where its going low is not planned. */
  level: number | null
  /** The same in a word; ''. */
  water: string
}

/** A drive. */
export interface Way {
  crew: CrewKey
  straight: boolean
  points: At[]
}

export interface Picture {
  crews: CrewKey[]
  pins: Pin[]
  ways: Way[]
  /** South-west and north-east of what is looked at; null where no place is known. */
  box: [At, At] | null
}

/** All days at once. */
export const allDays = 'all'

/** The points of a drive: the contract has the first one and the steps from it, degrees times a million. */
export function unpack(steps: number[]): At[] {
  const points: At[] = []
  let lat = 0
  let lon = 0
  for (let i = 0; i + 1 < steps.length; i += 2) {
    lat += steps[i] as number
    lon += steps[i + 1] as number
    points.push([lon / 1e6, lat / 1e6])
  }
  return points
}

/** A, B ... Z, then A2, B2 ... */
export function letter(i: number): string {
  const turn = Math.floor(i / 26)
  return String.fromCharCode(65 + (i % 26)) + (turn ? String(turn + 1) : '')
}

/** The day that is looked at first: today, else the first one on which anybody drives. */
export function usualDay(map: WeekMap, days: string[], today: string): string {
  const driven = new Set(map.days.filter((d) => d.legs.length).map((d) => d.day))
  if (driven.has(today)) return today
  return days.find((d) => driven.has(d)) ?? days[0] ?? allDays
}

/** The moment at which the water is shown: now, or noon of another day. */
export function moment(drawn: Drawn, day: string): number {
  const chosen = drawn.days.find((d) => d.date === day)
  if (!chosen || (drawn.now >= chosen.start && drawn.now < chosen.end)) return drawn.now
  return (chosen.start + chosen.end) / 2
}

/** Draws a day, or all days; only the named crew where one is. */
export function draw(map: WeekMap, drawn: Drawn, day: string, only = ''): Picture {
  const crews = drawn.lanes.map((l, i): CrewKey => ({ id: l.crewId, name: l.name, letter: letter(i), hue: i }))
  const shown = (crewId: string, date: string): boolean =>
    (day === allDays || date === day) && (only === '' || crewId === only)
  const comings = new Map<string, Coming[]>()
  for (const [i, lane] of drawn.lanes.entries()) {
    for (const d of lane.days) {
      if (!shown(lane.crewId, d.date)) continue
      for (const [n, stop] of d.stops.entries()) {
        const coming = { crew: crews[i] as CrewKey, order: n + 1, day: d.date, stop }
        comings.set(stop.jobId, [...(comings.get(stop.jobId) ?? []), coming])
      }
    }
  }
  const when = moment(drawn, day)
  const pins = map.places.map((p): Pin => {
    const here = p.job_ids.flatMap((id) => comings.get(id) ?? []).sort((a, b) => a.stop.start - b.stop.start)
    const strip = drawn.strips.find((s) => p.job_ids.includes(s.jobId))
    return {
      id: p.id,
      home: p.kind === 'home',
      name: p.name,
      street: p.street,
      says: p.says,
      straight: p.straight,
      rough: p.kind !== 'home' && p.precision !== 'pin' && p.precision !== 'exact',
      at: atOf(p),
      jobIds: p.job_ids,
      comings: here,
      label: labelOf(here, day),
      level: strip ? levelAt(strip.curve, when) : null,
      water: strip ? (stretches(strip.curve).find((s) => when >= s.from && when < s.to)?.phase ?? '') : '',
    }
  })
  const ways = map.days
    .filter((d) => shown(d.crew_id, d.day))
    .flatMap((d) => {
      const crew = crews.find((c) => c.id === d.crew_id)
      return crew ? d.legs.map((leg): Way => ({ crew, straight: leg.straight, points: unpack(leg.steps) })) : []
    })
  return { crews, pins, ways, box: boxOf(pins, ways) }
}

function atOf(p: MapPlace): At | null {
  return p.lat_e7 === undefined || p.lon_e7 === undefined ? null : [p.lon_e7 / 1e7, p.lat_e7 / 1e7]
}

/** "A2", "A2 B1"; on all days the crews alone. */
function labelOf(comings: Coming[], day: string): string {
  const each = comings.map((c) => (day === allDays ? c.crew.letter : c.crew.letter + c.order))
  const once = [...new Set(each)]
  return once.length > 2 ? `${once[0]} +${once.length - 1}` : once.join(' ')
}

/** Around the drives and those whom somebody comes to; around all places where nobody drives. */
function boxOf(pins: Pin[], ways: Way[]): [At, At] | null {
  const visited = pins.filter((p) => p.comings.length > 0)
  const points = [
    ...ways.flatMap((w) => w.points),
    ...(visited.length ? visited : pins).flatMap((p) => (p.at ? [p.at] : [])),
  ]
  if (points.length === 0) return null
  const lons = points.map((p) => p[0])
  const lats = points.map((p) => p[1])
  const least = (list: number[]): number => list.reduce((a, b) => Math.min(a, b), Infinity)
  const most = (list: number[]): number => list.reduce((a, b) => Math.max(a, b), -Infinity)
  return [
    [least(lons), least(lats)],
    [most(lons), most(lats)],
  ]
}
