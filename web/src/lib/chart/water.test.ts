import { describe, expect, it } from 'vitest'
import { Axis } from './axis'
import type { Strip } from './plan'
import { days, strips, zone } from './testing.week'
import { levelAt, paths, sayStrip, stretches } from './water'

const ledge = strips[0] as Strip
const axis = new Axis(days, 1000, 'all', zone)

describe('a level strip', () => {
  it('names its stretches in order', () => {
    expect(stretches(ledge.curve).map((s) => s.phase)).toEqual(['falling', 'low', 'rising'])
  })

  it('calls a rest over night what went on before it', () => {
    const curve = [
      { at: 0, high: 1, low: 1 },
      { at: 10, high: 0.5, low: 0.4 },
      { at: 20, high: 0.5, low: 0.4 },
      { at: 30, high: 0, low: 0 },
    ]
    expect(stretches(curve)).toEqual([{ phase: 'falling', from: 0, to: 30 }])
  })

  it('reads its level between two points', () => {
    const [a, b] = ledge.curve
    expect(levelAt(ledge.curve, ((a?.at ?? 0) + (b?.at ?? 0)) / 2)).toBeCloseTo(0.55)
    expect(levelAt(ledge.curve, 0)).toBe(1)
    expect(levelAt([], 0)).toBeNull()
  })

  it('says in words all that the picture shows', () => {
    const said = sayStrip(ledge, zone)
    expect(said).toContain('falling until Sun 17:00')
    expect(said).toContain('low until Mon 12:30')
    expect(said).toContain('arrival promised Mon 8:00 to Mon 10:00')
    expect(said).toContain('covered by Mon 18:00 at the latest')
    expect(sayStrip(strips[1] as Strip, zone)).toContain('told to start the drain between Sun 10:00 and Sun 12:00')
  })

  it('draws a band only where both quantiles differ', () => {
    expect(paths(ledge.curve, axis, 5, 35).band).not.toBe('')
    expect(paths([{ at: axis.from, high: 1, low: 1 }], axis, 5, 35).band).toBe('')
  })

  it('stays inside its height, low at the bottom and full at the top', () => {
    const ys = [...paths(ledge.curve, axis, 5, 35).surface.matchAll(/,(\d+(?:\.\d+)?)/g)].map((m) => Number(m[1]))
    expect(Math.min(...ys)).toBe(5)
    expect(Math.max(...ys)).toBe(35)
  })

  it('reaches both edges of the view', () => {
    const surface = paths(strips[1]?.curve ?? [], axis, 5, 35).surface
    expect(surface.startsWith('M0.0,')).toBe(true)
    expect(surface).toContain('L1000.0,')
  })
})
