import { expect, test } from 'vitest'
import { spread, type Box } from './spread'

const pin = (x: number, y: number, fixed = false): Box => ({ x, y, width: 36, height: 30, fixed })
const moved = (boxes: Box[]): Box[] => {
  const by = spread(boxes)
  return boxes.map((b, i) => ({ ...b, x: b.x + (by[i]?.[0] ?? 0), y: b.y + (by[i]?.[1] ?? 0) }))
}
const overlaps = (boxes: Box[]): number =>
  boxes.flatMap((a, i) =>
    boxes.slice(i + 1).filter((b) => Math.abs(a.x - b.x) < 34 && Math.abs(a.y - b.y) < 28),
  ).length

test('pins that have room stay', () => {
  expect(spread([pin(0, 0), pin(100, 0), pin(0, 100)])).toEqual([
    [0, 0],
    [0, 0],
    [0, 0],
  ])
})
test('pins on one spot come apart, those that are fixed stay', () => {
  const boxes = [pin(50, 50, true), pin(50, 50), pin(52, 51), pin(55, 60)]
  const to = moved(boxes)
  expect(to[0]).toEqual(boxes[0])
  expect(overlaps(to)).toBe(0)
})
test('no pin goes far from its place', () => {
  for (const [x, y] of spread(Array.from({ length: 40 }, () => pin(0, 0)))) expect(Math.hypot(x, y)).toBeLessThan(66)
})
