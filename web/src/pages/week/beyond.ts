// By how much a limit would be broken, in words.
import type { BrokenLimit } from '../../lib/contract'
import { count } from '../../lib/format'
import { lasting } from '../../lib/time'

/** "by 25 min", "1 pump too few"; '' where there is no amount, as with a skill that nobody has. */
export function beyond(limit: Pick<BrokenLimit, 'by' | 'unit'>): string {
  if (limit.by === 0) return ''
  switch (limit.unit) {
    case 's':
      return `by ${lasting(Math.max(60, Math.abs(limit.by)))}`
    case 'pumps':
      return `${count(limit.by, 'pump')} too few`
    case 'people':
      return `${count(limit.by, 'person', 'people')} too few`
    default:
      return `by ${limit.by.toLocaleString('en-US')} ${limit.unit}`
  }
}
