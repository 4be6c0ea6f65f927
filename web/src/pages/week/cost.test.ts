import { describe, expect, it } from 'vitest'
import type { RunPoint } from '../../lib/contract'
import { layers, paths } from './cost'

const point = (elapsed_ms: number, cents: Record<string, number>): RunPoint => ({
  elapsed_ms,
  round: 0,
  total_cents: Object.values(cents).reduce((a, b) => a + b, 0),
  heads: Object.entries(cents).map(([head, n]) => ({ head, label: head, cents: n })),
})
const series = [
  point(0, { paid: 500, driving: 300, left_out: 900, waiting: 40, overtime: 20, low: 10 }),
  point(100, { paid: 500, driving: 250, left_out: 400, waiting: 40, overtime: 20, low: 0 }),
  point(400, { paid: 480, driving: 240, left_out: 0, waiting: 40, overtime: 10, low: 0 }),
]

describe('the cost over time', () => {
  it('keeps the large heads, adds up the small ones, and loses nothing', () => {
    const shown = layers(series, 3)
    expect(shown.map((l) => l.label)).toEqual(['left_out', 'paid', 'driving', 'the rest'])
    for (const [i, p] of series.entries()) expect(shown.reduce((n, l) => n + (l.cents[i] ?? 0), 0)).toBe(p.total_cents)
  })

  it('stacks them: each begins where the one below ends, the whole height is the dearest moment', () => {
    const drawn = paths(series, layers(series, 3), 200, 100)
    const total = series[2]?.total_cents ?? 0
    const most = series[0]?.total_cents ?? 1
    expect(drawn[0]?.base).toBe(100)
    for (let i = 1; i < drawn.length; i++) expect(drawn[i]?.base).toBeCloseTo(drawn[i - 1]?.top ?? 0, 6)
    expect(drawn[drawn.length - 1]?.top).toBeCloseTo(100 - (100 * total) / most, 6)
    // The top edge of the whole begins at the top: the dearest moment is the first.
    expect(drawn[drawn.length - 1]?.d.startsWith('M0.0,0.0L')).toBe(true)
  })

  it('is nothing where nothing was found yet', () => expect(paths([], [], 200, 100)).toEqual([]))
})
