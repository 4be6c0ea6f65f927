// Places on a plan in feet, x to the right and y down, as the survey keeps them: "x,y; x,y; …".

export interface Point {
  x: number
  y: number
}

const feetIn: Record<string, number> = {
  ft: 1,
  "'": 1,
  '′': 1,
  '’': 1,
  in: 1 / 12,
  '"': 1 / 12,
  '″': 1 / 12,
  '”': 1 / 12,
  yd: 3,
  m: 1 / 0.3048,
  cm: 1 / 30.48,
  mm: 1 / 304.8,
}
const term = /^\s*(\d+(?:\.\d+)?|\.\d+)(?:\s+(\d+)\/(\d+))?\s*(ft|in|yd|mm|cm|m|['′’"″”])?/

/** Feet of "12", "12.5", 12' 6 1/2", "-3 m"; undefined where it is no length. */
export function feetOf(text: string, unit = 'ft'): number | undefined {
  let rest = text.trim()
  const sign = /^[-−]/.test(rest) ? -1 : 1
  if (/^[-−+]/.test(rest)) rest = rest.slice(1)
  let sum = 0
  if (!rest.trim()) return undefined
  while (rest.trim()) {
    const found = term.exec(rest)
    const size = found && feetIn[found[4] ?? unit]
    if (!found || size === undefined || size === null || Number(found[3] ?? 1) === 0) return undefined
    sum += (Number(found[1]) + Number(found[2] ?? 0) / Number(found[3] ?? 1)) * size
    rest = rest.slice(found[0].length)
  }
  return sign * sum
}

/** The places of a value; undefined where one is not readable. */
export function pointsOf(text: string, unit = 'ft'): Point[] | undefined {
  const points: Point[] = []
  for (const item of text.trim().replace(/;\s*$/, '').split(';')) {
    const [a, b, more] = item.split(',')
    const [x, y] = [feetOf(a ?? '', unit), feetOf(b ?? '', unit)]
    if (x === undefined || y === undefined || more !== undefined) return undefined
    points.push({ x, y })
  }
  return points
}

/** A number of feet with no more decimals than a tape reads. */
export const feet = (n: number): string => String(Math.round(n * 100) / 100 + 0)

/** The text of places, in feet. */
export const pointsText = (points: Point[]): string => points.map((p) => `${feet(p.x)},${feet(p.y)}`).join('; ')

export const distance = (a: Point, b: Point): number => Math.hypot(a.x - b.x, a.y - b.y)

/** Length of a way along its points. */
export const lengthOf = (way: Point[]): number => way.slice(1).reduce((sum, p, i) => sum + distance(way[i] ?? p, p), 0)

/** Feet and whole inches, as written beside a line. */
export function tape(n: number): string {
  const inches = Math.round(n * 12)
  const [ft, rest] = [Math.floor(inches / 12), inches % 12]
  return ft === 0 ? `${rest} in` : rest === 0 ? `${ft} ft` : `${ft} ft ${rest} in`
}

/** The place on the line a–b that lies nearest to p. */
function onLine(p: Point, a: Point, b: Point): Point {
  const [dx, dy] = [b.x - a.x, b.y - a.y]
  const t = Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy || 1)))
  return { x: a.x + t * dx, y: a.y + t * dy }
}

/** The place on a closed outline nearest to p: lights sit in the wall. */
export function onWall(p: Point, outline: Point[]): Point | undefined {
  let best: Point | undefined
  outline.forEach((a, i) => {
    const q = onLine(p, a, outline[(i + 1) % outline.length] ?? a)
    if (!best || distance(p, q) < distance(p, best)) best = q
  })
  return best
}

/** The middle of a line by its corners. */
export function middle(points: Point[]): Point {
  const n = Math.max(1, points.length)
  return { x: points.reduce((s, p) => s + p.x, 0) / n, y: points.reduce((s, p) => s + p.y, 0) / n }
}

/** Square feet inside a closed outline (shoelace rule). */
export function insideOf(outline: Point[]): number {
  let twice = 0
  outline.forEach((a, i) => {
    const b = outline[(i + 1) % outline.length] ?? a
    twice += a.x * b.y - b.x * a.y
  })
  return Math.abs(twice) / 2
}
