// How much later a planned stop could start, and what keeps it from starting earlier, in words.
import { lasting } from '../time'
import type { Stop } from './plan'

/** Both limits of a stop as far as they are known, or ''. */
export function sayLimits(stop: Pick<Stop, 'slack' | 'binds' | 'straight'>): string {
  const parts: string[] = []
  if (stop.slack !== null) parts.push(stop.slack < 60 ? 'can’t slip' : `can slip ${lasting(stop.slack)}`)
  if (stop.binds) parts.push(`not earlier: ${stop.binds}`)
  if (stop.straight) parts.push('drive by straight line')
  return parts.join(' · ')
}
