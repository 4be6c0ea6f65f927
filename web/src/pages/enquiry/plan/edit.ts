// Changing places on the plan. Pure: each gives the new points and leaves the old ones.
import { distance, middle, type Point } from './points'

/** The grid that dots snap to, in feet. */
export const grid = 0.5

export const snap = (p: Point, step = grid): Point => ({
  x: Math.round(p.x / step) * step + 0,
  y: Math.round(p.y / step) * step + 0,
})

/** The plan goes no further than this from its origin, in feet either way; the server's limit. */
const farthest = 5000
const within = (n: number): number => Math.max(-farthest, Math.min(farthest, n))
const held = (p: Point): Point => ({ x: within(p.x), y: within(p.y) })

export const moved = (points: Point[], at: number, to: Point): Point[] => points.map((p, i) => (i === at ? held(to) : p))

export const without = (points: Point[], at: number): Point[] => points.filter((_, i) => i !== at)

/** With a dot after the one at `at`, halfway to the next; the last of a way goes on by as much again. */
export function withNext(points: Point[], at: number, closed: boolean): { points: Point[]; at: number } {
  const here = points[at] ?? { x: 0, y: 0 }
  const next = points[at + 1] ?? (closed ? points[0] : undefined)
  const before = points[at - 1]
  const made = next
    ? middle([here, next])
    : before
      ? { x: 2 * here.x - before.x, y: 2 * here.y - before.y }
      : { x: here.x + 5, y: here.y }
  return { points: [...points.slice(0, at + 1), held(snap(made)), ...points.slice(at + 1)], at: at + 1 }
}

/** With a dot where somebody points: into the side of an outline that lies nearest, at the end of a way. */
export function withDot(points: Point[], p: Point, closed: boolean): { points: Point[]; at: number } {
  if (!closed || points.length < 3) return { points: [...points, held(p)], at: points.length }
  let best = points.length
  let least = Infinity
  points.forEach((a, i) => {
    const b = points[(i + 1) % points.length] ?? a
    const more = distance(a, p) + distance(p, b) - distance(a, b)
    if (more < least) [least, best] = [more, i + 1]
  })
  return { points: [...points.slice(0, best), held(p), ...points.slice(best)], at: best }
}

/** Whether sides of a closed outline cross: then it encloses no one area. */
export function crosses(points: Point[]): boolean {
  const n = points.length
  const side = (a: Point, b: Point, c: Point): number => Math.sign((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x))
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue
      const [a, b, c, d] = [points[i], points[i + 1], points[j], points[(j + 1) % n]]
      if (!a || !b || !c || !d) continue
      if (side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0) return true
    }
  }
  return false
}

export interface View {
  x: number
  y: number
  w: number
  h: number
}

/** The view nearer or further by a factor, about a place that stays where it is. */
export function zoomed(view: View, by: number, about: Point): View {
  const w = Math.max(5, Math.min(4000, view.w / by))
  const k = w / view.w
  return { x: about.x - (about.x - view.x) * k, y: about.y - (about.y - view.y) * k, w, h: view.h * k }
}

/** A distance between two numbers that makes a grid of 8 to 40 lines. */
export function gridStep(width: number): number {
  return [0.5, 1, 5, 10, 50, 100, 500].find((s) => width / s <= 44) ?? 1000
}
