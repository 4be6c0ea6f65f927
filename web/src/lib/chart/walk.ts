// Moving through the stops by keyboard: left and right along a crew's days, up and down to whoever is busy
// at about the same time.
import type { Lane, Stop } from './plan'

/** All stops of a lane by start. */
export function stopsOf(lane: Lane): Stop[] {
  return lane.days.flatMap((d) => d.stops).sort((a, b) => a.start - b.start)
}

export type Step = 'left' | 'right' | 'up' | 'down' | 'first' | 'last'

/** The stop one step from `id`, or `id` itself where there is none; the first of all where `id` is unknown. */
export function step(lanes: Lane[], id: string, how: Step): string {
  const rows = lanes.map(stopsOf)
  const row = rows.findIndex((r) => r.some((s) => s.id === id))
  const stops = rows[row]
  if (!stops) return rows.find((r) => r.length > 0)?.[0]?.id ?? ''
  const i = stops.findIndex((s) => s.id === id)
  const here = stops[i] as Stop
  switch (how) {
    case 'left':
      return stops[i - 1]?.id ?? id
    case 'right':
      return stops[i + 1]?.id ?? id
    case 'first':
      return stops[0]?.id ?? id
    case 'last':
      return stops[stops.length - 1]?.id ?? id
    default: {
      const way = how === 'down' ? 1 : -1
      for (let r = row + way; r >= 0 && r < rows.length; r += way) {
        const other = rows[r] as Stop[]
        if (other.length === 0) continue
        const mid = (s: Stop): number => (s.start + s.end) / 2
        return other.reduce((best, s) => (Math.abs(mid(s) - mid(here)) < Math.abs(mid(best) - mid(here)) ? s : best)).id
      }
      return id
    }
  }
}
