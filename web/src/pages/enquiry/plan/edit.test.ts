import { describe, expect, test } from 'vitest'
import { crosses, gridStep, moved, snap, withDot, withNext, without, zoomed } from './edit'
import { insideOf, type Point } from './points'

const pool: Point[] = [
  { x: 0, y: 0 },
  { x: 32, y: 0 },
  { x: 32, y: 16 },
  { x: 0, y: 16 },
]

describe('dots on the plan', () => {
  test('keep to half feet, zero without a sign', () => {
    expect(snap({ x: 3.26, y: -0.2 })).toEqual({ x: 3.5, y: 0 })
    expect(Object.is(snap({ x: -0.1, y: 0 }).x, 0)).toBe(true)
  })
  test('are moved and taken away without touching the others', () => {
    expect(moved(pool, 2, { x: 30, y: 16 })[2]).toEqual({ x: 30, y: 16 })
    expect(moved(pool, 2, { x: 9999, y: 0 })[2]).toEqual({ x: 5000, y: 0 })
    expect(without(pool, 0)).toEqual(pool.slice(1))
    expect(pool).toHaveLength(4)
  })
  test('go by key halfway to the next, and round the corner of an outline', () => {
    expect(withNext(pool, 0, true)).toMatchObject({ at: 1, points: { 1: { x: 16, y: 0 } } })
    expect(withNext(pool, 3, true).points[4]).toEqual({ x: 0, y: 8 })
    expect(withNext(pool.slice(0, 2), 1, false).points[2]).toEqual({ x: 64, y: 0 })
    expect(withNext([{ x: 1, y: 1 }], 0, false).points[1]).toEqual({ x: 6, y: 1 })
  })
  test('by pointer go into the nearest side of an outline, to the end of a way', () => {
    expect(withDot(pool, { x: 34, y: 8 }, true)).toMatchObject({ at: 2 })
    expect(withDot(pool, { x: -2, y: 8 }, true)).toMatchObject({ at: 4 })
    expect(withDot(pool, { x: 34, y: 8 }, false)).toMatchObject({ at: 4 })
  })
  test('a dot on a side leaves the area as it is', () => {
    expect(insideOf(withDot(pool, { x: 10, y: 16 }, true).points)).toBeCloseTo(512)
  })
  test('crossing sides are seen', () => {
    expect(crosses(pool)).toBe(false)
    expect(crosses([pool[0], pool[2], pool[1], pool[3]] as Point[])).toBe(true)
  })
})

test('what one points at stays where it is while the plan comes nearer', () => {
  const near = zoomed({ x: 0, y: 0, w: 40, h: 20 }, 2, { x: 10, y: 5 })
  expect(near).toEqual({ x: 5, y: 2.5, w: 20, h: 10 })
  expect(zoomed(near, 1e9, { x: 0, y: 0 }).w).toBe(5)
})

test('the grid has no more lines than one can tell apart', () => {
  for (const wide of [5, 40, 90, 700, 4000]) expect(wide / gridStep(wide)).toBeLessThanOrEqual(44)
})
