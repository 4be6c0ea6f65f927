// The geometry of a level strip: a small area chart of a pool's level over the shared axis.
import type { Axis } from './axis'
import type { LevelPoint, Strip } from './plan'
import { weekClock } from '../time'

/** Level names, in the order of a conversion's week. */
export type Phase = 'full' | 'falling' | 'low' | 'rising'

/** A stretch of the water with one name. */
export interface Stretch {
  phase: Phase
  from: number
  to: number
}

const near = 0.03

/** The level on the surely-reached line between two points. */
export function levelAt(curve: LevelPoint[], at: number): number | null {
  const first = curve[0]
  if (!first) return null
  if (at <= first.at) return first.high
  for (let i = 1; i < curve.length; i++) {
    const b = curve[i] as LevelPoint
    if (at > b.at) continue
    const a = curve[i - 1] as LevelPoint
    return a.high + ((at - a.at) / (b.at - a.at || 1)) * (b.high - a.high)
  }
  return (curve[curve.length - 1] as LevelPoint).high
}

/** The curve cut into named stretches: what the picture says, in words, for those who don't see it. */
export function stretches(curve: LevelPoint[]): Stretch[] {
  const found: Stretch[] = []
  for (let i = 1; i < curve.length; i++) {
    const a = curve[i - 1] as LevelPoint
    const b = curve[i] as LevelPoint
    if (b.at <= a.at) continue
    let phase: Phase
    if (a.high > 1 - near && b.high > 1 - near) phase = 'full'
    else if (a.high < near && b.high < near) phase = 'low'
    else if (b.high < a.high) phase = 'falling'
    else if (b.high > a.high) phase = 'rising'
    else phase = found[found.length - 1]?.phase ?? 'falling' // pumping rests over night
    const last = found[found.length - 1]
    if (last && last.phase === phase) last.to = b.at
    else found.push({ phase, from: a.at, to: b.at })
  }
  return found
}

/** "full until Mon 14:00, falling until Tue 16:00, low until ..." and what else the strip shows. */
export function sayStrip(strip: Strip, zone: string): string {
  const parts = stretches(strip.curve).map((s, i, all) =>
    i === all.length - 1 ? `then ${s.phase}` : `${s.phase} until ${weekClock(s.to, zone)}`,
  )
  if (parts.length === 1 && strip.curve[0]) parts[0] = `${stretches(strip.curve)[0]?.phase} all the time`
  if (strip.told)
    parts.push(`told to start the drain between ${weekClock(strip.told.from, zone)} and ${weekClock(strip.told.to, zone)}`)
  for (const p of strip.promised) parts.push(`arrival promised ${weekClock(p.from, zone)} to ${weekClock(p.to, zone)}`)
  if (strip.limit) parts.push(strip.limit.text)
  return parts.join('; ')
}

/** The SVG paths of a strip of this height: the water's body, its surface, and the band of uncertainty. */
export function paths(
  curve: LevelPoint[],
  axis: Axis,
  top: number,
  bottom: number,
): { body: string; surface: string; band: string } {
  const y = (level: number): number => bottom - Math.max(0, Math.min(1, level)) * (bottom - top)
  const floor = bottom + 4
  const point = (at: number, level: number): string => `${axis.x(at).toFixed(1)},${y(level).toFixed(1)}`
  // A level holds its value to both ends of the view.
  const first = curve[0]
  const last = curve[curve.length - 1]
  if (!first || !last) return { body: '', surface: '', band: '' }
  const all: LevelPoint[] = [...curve]
  if (first.at > axis.from) all.unshift({ ...first, at: axis.from })
  if (last.at < axis.to) all.push({ ...last, at: axis.to })
  const kept = bend(clip(all, axis), axis)
  const start = kept[0]
  const end = kept[kept.length - 1]
  if (!start || !end) return { body: '', surface: '', band: '' }
  const high = kept.map((p) => point(p.at, p.high))
  const low = kept.map((p) => point(p.at, p.low)).reverse()
  const surface = 'M' + high.join('L')
  const body = `${surface}L${axis.x(end.at).toFixed(1)},${floor}L${axis.x(start.at).toFixed(1)},${floor}Z`
  const unsure = kept.some((p) => Math.abs(p.high - p.low) > 0.004)
  return { body, surface, band: unsure ? `${surface}L${low.join('L')}Z` : '' }
}

/** Drops points far outside the view but keeps the neighbours, so that slopes at the edges stay right. */
function clip(points: LevelPoint[], axis: Axis): LevelPoint[] {
  return points.filter((p, i) => {
    const before = points[i - 1]
    const after = points[i + 1]
    return (
      axis.shows(p.at, p.at) ||
      (after && after.at >= axis.from && p.at < axis.from) ||
      (before && before.at <= axis.to && p.at > axis.to)
    )
  })
}

/** Adds the axis's own bends (dusk and dawn) as points: a straight line in time is not straight on screen there. */
function bend(points: LevelPoint[], axis: Axis): LevelPoint[] {
  const bends = axis.nights().flatMap((n) => [n.from, n.to])
  const found: LevelPoint[] = []
  for (const [i, p] of points.entries()) {
    const before = points[i - 1]
    if (before && p.at > before.at) {
      for (const at of bends) {
        if (at <= before.at || at >= p.at) continue
        const share = (at - before.at) / (p.at - before.at)
        found.push({ at, high: before.high + share * (p.high - before.high), low: before.low + share * (p.low - before.low) })
      }
    }
    found.push(p)
  }
  return found
}
