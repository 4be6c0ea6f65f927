// A moved visit in words: its day is said once where it stays the same, its crew too.
import type { MovedVisit } from '../../lib/contract'
import { clock, dayOf, dayClock } from '../../lib/time'
import { kindWord } from '../../lib/words'

const at = (utc: string): number => Date.parse(utc) / 1000

export function sayMoved(m: MovedVisit, zone: string): { act: string; before: string; after: string } {
  const act = kindWord(m.kind)
  const was = m.start_before_at ? at(m.start_before_at) : undefined
  const is = m.start_at ? at(m.start_at) : undefined
  const sameDay = was !== undefined && is !== undefined && dayOf(was, zone) === dayOf(is, zone)
  const sameCrew = m.crew_id !== undefined && m.crew_id === m.crew_id_before
  const before = was === undefined ? 'not planned' : `${dayClock(was, zone)} ${m.crew_name_before ?? ''}`.trim()
  const after =
    is === undefined ? 'out of the plan' : `${sameDay ? clock(is, zone) : dayClock(is, zone)} ${sameCrew ? '' : (m.crew_name ?? '')}`.trim()
  return { act, before, after }
}
