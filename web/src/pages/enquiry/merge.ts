// Two people write into one survey: what only one of them changed is taken from that one, value by value. Where
// both changed the same value, what is kept already stays and the other is offered, never lost.
import type { SurveySubject, SurveyValue } from '../../lib/contract'

/** A value that two people changed: theirs is kept, mine waits to be chosen. */
export interface Clash {
  subject: string
  field: string
  mine: SurveyValue | undefined
  theirs: SurveyValue | undefined
}

/** Whether two values say the same; who noted it and when does not count. */
export function sameValue(a: SurveyValue | undefined, b: SurveyValue | undefined): boolean {
  if (!a || !b) return a === b
  return a.text === b.text && (a.unit ?? '') === (b.unit ?? '') && a.known === b.known && (a.note ?? '') === (b.note ?? '')
}

const sameEnds = (a: SurveySubject, b: SurveySubject): boolean => (a.ends ?? []).join() === (b.ends ?? []).join()
const names = (...of: (SurveySubject | undefined)[]): string[] => [
  ...new Set(of.flatMap((s) => (s ? Object.keys(s.values) : []))),
]

/** Whether two states of a thing say the same. */
export function sameSubject(a: SurveySubject, b: SurveySubject): boolean {
  if (a.name !== b.name || (a.of ?? '') !== (b.of ?? '') || !sameEnds(a, b)) return false
  return names(a, b).every((n) => sameValue(a.values[n], b.values[n]))
}

/** How many values and things differ between two states of a survey. */
export function differing(a: SurveySubject[], b: SurveySubject[]): number {
  let n = 0
  for (const s of a) {
    const other = b.find((o) => o.id === s.id)
    if (!other) n += 1 + Object.keys(s.values).length
    else {
      n += names(s, other).filter((f) => !sameValue(s.values[f], other.values[f])).length
      if (!sameSubject({ ...s, values: {} }, { ...other, values: {} })) n++
    }
  }
  return n + b.filter((o) => !a.some((s) => s.id === o.id)).length
}

/** Joins what I have and what they have, both grown out of `base`. */
export function merge(
  base: SurveySubject[],
  mine: SurveySubject[],
  theirs: SurveySubject[],
): { subjects: SurveySubject[]; clashes: Clash[] } {
  const clashes: Clash[] = []
  const was = new Map(base.map((s) => [s.id, s]))
  const own = new Map(renamed(base, mine, theirs).map((s) => [s.id, s]))
  const subjects: SurveySubject[] = []
  for (const their of theirs) {
    const old = was.get(their.id)
    const my = own.get(their.id)
    own.delete(their.id)
    if (!my) {
      // I took it out: so it is, unless they wrote into it meanwhile.
      if (!old || !sameSubject(old, their)) subjects.push(their)
    } else subjects.push(old ? joined(old, my, their, clashes) : my)
  }
  for (const my of own.values()) {
    const old = was.get(my.id)
    if (!old || !sameSubject(old, my)) subjects.push(my)
  }
  return { subjects, clashes }
}

/** One thing that both have, field by field. */
function joined(old: SurveySubject, my: SurveySubject, their: SurveySubject, clashes: Clash[]): SurveySubject {
  const made: SurveySubject = { ...their, values: {} }
  if (my.name !== old.name) made.name = my.name
  if ((my.of ?? '') !== (old.of ?? '')) {
    if (my.of) made.of = my.of
    else delete made.of
  }
  if (!sameEnds(my, old)) made.ends = my.ends ?? []
  for (const field of names(my, their)) {
    const [m, t, o] = [my.values[field], their.values[field], old.values[field]]
    const changed = !sameValue(m, o)
    if (changed && !sameValue(t, o) && !sameValue(m, t)) clashes.push({ subject: my.id, field, mine: m, theirs: t })
    const value = changed && sameValue(t, o) ? m : t
    if (value) made.values[field] = value
  }
  return made
}

/** My new things under ids that theirs don't have: two people may both have begun a "position-2". */
function renamed(base: SurveySubject[], mine: SurveySubject[], theirs: SurveySubject[]): SurveySubject[] {
  const taken = new Set([...base, ...mine, ...theirs].map((s) => s.id))
  const to = new Map<string, string>()
  for (const my of mine) {
    const their = theirs.find((t) => t.id === my.id)
    if (!their || base.some((b) => b.id === my.id) || sameSubject(my, their)) continue
    let n = 2
    while (taken.has(`${my.kind}-${n}`)) n++
    to.set(my.id, `${my.kind}-${n}`)
    taken.add(`${my.kind}-${n}`)
  }
  if (!to.size) return mine
  const id = (x: string): string => to.get(x) ?? x
  return mine.map((s) => ({
    ...s,
    id: id(s.id),
    ...(s.of ? { of: id(s.of) } : {}),
    ...(s.ends ? { ends: s.ends.map(id) } : {}),
  }))
}
