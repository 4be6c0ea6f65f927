// The kinds of things on a site, in the order in which one asks about them.
import type { SurveySubject } from '../../lib/contract'

type Kind = SurveySubject['kind']

/** Kind, what one is called, and whether a site can have several. */
export const kinds: { kind: Kind; one: string; many: string; several: boolean }[] = [
  { kind: 'body', one: 'Body of water', many: 'Bodies of water', several: true },
  { kind: 'position', one: 'Light position', many: 'Light positions', several: true },
  { kind: 'conduit', one: 'Conduit', many: 'Conduits', several: true },
  { kind: 'supply', one: 'Supply place', many: 'Supply', several: true },
  { kind: 'illuminator', one: 'Old illuminator', many: 'Old illuminators', several: true },
  { kind: 'equipment', one: 'Equipment', many: 'Equipment', several: false },
  { kind: 'discharge', one: 'Discharge', many: 'Discharge', several: true },
  { kind: 'refill', one: 'Refill', many: 'Refill', several: true },
  { kind: 'site', one: 'Site', many: 'Site', several: false },
]

export function kindLabel(kind: string): string {
  return kinds.find((k) => k.kind === kind)?.one ?? kind
}

/** The kind of thing that a line about something not noted at all speaks of: where the form can lead to. */
export function kindIn(line: string): Kind | undefined {
  const said = line.toLowerCase()
  const at = (k: (typeof kinds)[number]): number =>
    Math.min(...[k.one, k.many].map((w) => said.indexOf(w.toLowerCase())).map((n) => (n < 0 ? Infinity : n)))
  return [...kinds].filter((k) => at(k) < Infinity).sort((a, b) => at(a) - at(b))[0]?.kind
}
