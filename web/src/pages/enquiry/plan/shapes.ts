// Outlines of a body of water drawn to scale from its sizes, for the eye and as a beginning for a drawn outline.
// The area that counts is the server's, by the rule of the shape.
import type { SurveySubject } from '../../../lib/contract'
import { feetOf, insideOf, type Point } from './points'

const umPerFoot = 304_800
const steps = 20

/** A length of a thing in feet. */
export function size(subject: SurveySubject, field: string): number | undefined {
  const value = subject.values[field]
  if (!value || value.known === 'unknown') return undefined
  if (value.base !== undefined) return value.base / umPerFoot
  return feetOf(value.text, value.unit ?? 'ft')
}

/** The outline that the sizes give, its corner at 0,0; undefined while they are not known. */
export function shapeOf(body: SurveySubject): Point[] | undefined {
  const [length, width] = [size(body, 'length'), size(body, 'width')]
  switch (body.values.shape?.text) {
    case 'rectangle':
      return length && width ? box(length, width) : undefined
    case 'oval':
      return length && width ? oval(length, width) : undefined
    case 'round': {
      const across = size(body, 'diameter')
      return across ? oval(across, across) : undefined
    }
    case 'kidney': {
      const second = size(body, 'width_2')
      return length && width && second ? kidney(length, width, second) : undefined
    }
    case 'free_form':
      return freeForm(body)
  }
  return undefined
}

const box = (length: number, width: number): Point[] => [
  { x: 0, y: 0 },
  { x: length, y: 0 },
  { x: length, y: width },
  { x: 0, y: width },
]

/** Corners on an ellipse, let out so far that they enclose the ellipse's own area. */
function oval(length: number, width: number): Point[] {
  const out = Math.sqrt(Math.PI / ((steps / 2) * Math.sin((2 * Math.PI) / steps)))
  return Array.from({ length: steps }, (_, i) => {
    const a = (2 * Math.PI * i) / steps
    return { x: (length / 2) * (1 + out * Math.cos(a)), y: (width / 2) * (1 + out * Math.sin(a)) }
  })
}

/** Two round ends of their own widths with a waist on one side, scaled to the shape's usual area. */
function kidney(length: number, a: number, b: number): Point[] {
  const wide = Math.max(a, b)
  const top: Point[] = []
  const bottom: Point[] = []
  for (let i = 0; i <= steps / 2; i++) {
    const t = i / (steps / 2)
    const round = Math.sqrt(Math.max(0, 1 - (2 * t - 1) ** 6))
    const width = (a + (b - a) * t) * round
    top.push({ x: length * t, y: (wide - width) / 2 })
    bottom.push({ x: length * t, y: (wide + width) / 2 - 0.3 * wide * Math.exp(-(((t - 0.5) / 0.18) ** 2)) })
  }
  const points = [...top, ...bottom.slice(1, -1).reverse()]
  const tall = (0.45 * (a + b) * length) / insideOf(points)
  return points.map((p) => ({ x: p.x, y: wide / 2 + (p.y - wide / 2) * tall }))
}

/** Widths at even steps, laid on both sides of one axis. */
function freeForm(body: SurveySubject): Point[] | undefined {
  const value = body.values.widths
  const step = size(body, 'width_step')
  const widths = (value?.text ?? '').split(/[\s,;]+/).filter(Boolean)
  const list = widths.map((w) => feetOf(w, value?.unit ?? 'ft'))
  if (!step || list.length < 3 || list.some((w) => w === undefined || w < 0)) return undefined
  const known = list as number[]
  const wide = Math.max(...known)
  const top = known.map((w, i) => ({ x: i * step, y: (wide - w) / 2 }))
  const bottom = known.map((w, i) => ({ x: i * step, y: (wide + w) / 2 })).filter((p, i) => p.y !== top[i]?.y)
  return [...top, ...bottom.reverse()]
}
