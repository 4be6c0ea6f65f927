// How far the water of a body falls and why, in whole micrometres below its tile line (above it negative). What is
// not known is absent and told as missing, never drawn at a guess.
import type { SurveySubject } from '../../../lib/contract'
import { called } from '../plan/marks'

export interface Fitting {
  id: string
  name: string
  depth: number
  /** Lower and upper edge; absent while the face's height is not known. */
  upper?: number
  lower?: number
}

export interface Section {
  body: string
  name: string
  now?: number
  working?: { value: number; low: number; high: number; text: string; margin: string }
  drop?: string
  fittings: Fitting[]
  deck?: number
  supply?: { at: number; name: string }
  missing: { text: string; subject: string; field: string }[]
}

type Thing = Record<string, unknown>
const isThing = (x: unknown): x is Thing => typeof x === 'object' && x !== null && !Array.isArray(x)
const text = (x: unknown): string => (typeof x === 'string' ? x : '')

function base(subject: SurveySubject, field: string): number | undefined {
  const value = subject.values[field]
  return value && value.known !== 'unknown' ? value.base : undefined
}

/** A section for each body that the estimate lowers. */
export function sectionsOf(body: unknown, subjects: SurveySubject[]): Section[] {
  const waters = isThing(body) && Array.isArray(body.bodies) ? body.bodies.filter(isThing) : []
  return waters.filter((w) => w.lowered === true).map((w) => section(w, waters, subjects))
}

function section(water: Thing, waters: Thing[], subjects: SurveySubject[]): Section {
  const id = text(water.body)
  const own = subjects.find((s) => s.id === id)
  const made: Section = { body: id, name: text(water.name), fittings: [], missing: [] }
  const lack = (s: SurveySubject, field: string, what: string): void => {
    made.missing.push({ text: `${called(s)}: ${what}`, subject: s.id, field })
  }
  if (own) {
    const now = base(own, 'level')
    if (now === undefined) lack(own, 'level', 'water now')
    else made.now = now
  }
  const with_ = new Set([id, ...waters.filter((w) => w.with === id).map((w) => text(w.body))])
  const lights = subjects.filter((s) => s.kind === 'position' && s.of !== undefined && with_.has(s.of))
  for (const light of lights) {
    const depth = base(light, 'depth')
    const size = base(light, 'fitting_size')
    if (depth === undefined) lack(light, 'depth', 'depth of its centre')
    else if (size === undefined) made.fittings.push({ id: light.id, name: called(light), depth })
    else made.fittings.push({ id: light.id, name: called(light), depth, upper: depth - size / 2, lower: depth + size / 2 })
  }
  const { working, drop } = water
  if (isThing(working) && working.known === true && typeof working.value === 'number') {
    const value = working.value
    made.working = {
      value,
      low: typeof working.low === 'number' ? working.low : value,
      high: typeof working.high === 'number' ? working.high : value,
      text: text(working.text),
      margin: text(working.margin),
    }
  }
  if (isThing(drop) && drop.known === true) made.drop = text(drop.text)
  supply(made, subjects, lack)
  return made
}

/** The deck, which two heights of one supply give, and the supply above it. */
function supply(made: Section, subjects: SurveySubject[], lack: (s: SurveySubject, field: string, what: string) => void): void {
  const place = subjects.find((s) => s.kind === 'supply')
  if (!place) return
  const [deck, water] = [base(place, 'height_deck'), base(place, 'height_water')]
  if (water === undefined) lack(place, 'height_water', 'height above the highest water')
  else made.supply = { at: 0 - water, name: called(place) }
  if (deck === undefined) lack(place, 'height_deck', 'height above the deck')
  else if (water !== undefined) made.deck = deck - water
}

/** Where the heights begin and end, with room at both ends; undefined where there is nothing to draw. */
export function rangeOf(s: Section): { from: number; to: number } | undefined {
  const at = [0, s.now, s.working?.high, s.deck, s.supply?.at, ...s.fittings.map((f) => f.lower ?? f.depth)].filter((n) => n !== undefined)
  if (at.length < 2) return undefined
  const [from, to] = [Math.min(...at), Math.max(...at)]
  const room = Math.max(76_200, (to - from) * 0.08)
  return { from: from - room, to: to + room }
}

/** Labels in order of height, moved apart so that none covers another. */
export function apart(at: number[], least: number): number[] {
  const order = at.map((y, i) => ({ y, i })).sort((a, b) => a.y - b.y)
  for (let k = 1; k < order.length; k++) {
    const [above, here] = [order[k - 1], order[k]]
    if (above && here && here.y < above.y + least) here.y = above.y + least
  }
  const out = [...at]
  for (const { y, i } of order) out[i] = y
  return out
}

const quarters = ['', '1/4', '1/2', '3/4']

/** A height from the tile line as the estimate writes it, to the quarter of an inch: 1' 4 3/4" below. */
export function below(um: number): string {
  const n = Math.round(Math.abs(um) / 6_350)
  if (n === 0) return 'at the tile line'
  const [ft, whole] = [Math.floor(n / 48), Math.floor((n % 48) / 4)]
  const inches = [whole || '', quarters[n % 4]].filter(Boolean).join(' ')
  const size = [ft ? `${ft}'` : '', inches ? `${inches}"` : ''].filter(Boolean).join(' ')
  return `${size} ${um < 0 ? 'above' : 'below'}`
}

/** The fittings by depth: one name, or how many lie there. */
export function depthsOf(fittings: Fitting[]): { at: number; text: string }[] {
  const found = new Map<number, Fitting[]>()
  for (const f of fittings) found.set(f.depth, [...(found.get(f.depth) ?? []), f])
  return [...found].map(([at, list]) => ({ at, text: list.length > 1 ? `${list.length} lights` : (list[0]?.name ?? '') }))
}
