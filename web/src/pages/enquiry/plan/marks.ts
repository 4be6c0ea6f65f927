// What is on the plan: of each thing of the survey the places that are kept, and bodies from their sizes while
// nobody has drawn them.
import type { SurveySubject } from '../../../lib/contract'
import { kindLabel } from '../subjects'
import { middle, onWall, pointsOf, type Point } from './points'
import { shapeOf } from './shapes'

export type Role = 'outline' | 'way' | 'place'

/** One thing on the plan, or one that can be put there (no points yet). */
export interface Mark {
  /** "subject.field" */
  key: string
  subject: string
  kind: SurveySubject['kind']
  field: 'outline' | 'path' | 'place'
  role: Role
  name: string
  points: Point[]
  /** Kept as drawn; false: from sizes, for the eye only. */
  drawn: boolean
  /** The kept text is not readable as places: it is left as it is. */
  broken: boolean
}

/** The fewest dots that make one. */
export const least: Record<Role, number> = { outline: 3, way: 2, place: 1 }

const roles: Partial<Record<SurveySubject['kind'], [Mark['field'], Role]>> = {
  body: ['outline', 'outline'],
  position: ['place', 'place'],
  conduit: ['path', 'way'],
  supply: ['place', 'place'],
  discharge: ['place', 'place'],
  refill: ['place', 'place'],
}
const gap = 4

export function called(subject: SurveySubject): string {
  return subject.name || `${kindLabel(subject.kind)} ${subject.id.split('-').pop() ?? ''}`.trim()
}

/** All things that have a place on the plan, bodies first. */
export function marksOf(subjects: SurveySubject[]): Mark[] {
  const marks = subjects.flatMap((subject): Mark[] => {
    const role = roles[subject.kind]
    if (!role) return []
    const [field, kind] = role
    const value = subject.values[field]
    const text = value && value.known !== 'unknown' ? value.text : ''
    const points = text ? pointsOf(text, value?.unit || 'ft') : []
    return [
      {
        key: `${subject.id}.${field}`,
        subject: subject.id,
        kind: subject.kind,
        field,
        role: kind,
        name: called(subject),
        points: points ?? [],
        drawn: (points?.length ?? 0) > 0,
        broken: !points,
      },
    ]
  })
  const order: Role[] = ['outline', 'way', 'place']
  marks.sort((a, b) => order.indexOf(a.role) - order.indexOf(b.role))
  return besideEachOther(marks, subjects)
}

/** Lays the bodies that only have sizes to the right of what is drawn. */
function besideEachOther(marks: Mark[], subjects: SurveySubject[]): Mark[] {
  const outlines = marks.filter((m) => m.role === 'outline' && m.drawn).flatMap((m) => m.points)
  let x = outlines.length ? Math.max(...outlines.map((p) => p.x)) + gap : 0
  return marks.map((mark) => {
    if (mark.role !== 'outline' || mark.drawn || mark.broken) return mark
    const body = subjects.find((s) => s.id === mark.subject)
    const points = body && shapeOf(body)
    if (!points) return mark
    const from = x
    x += Math.max(...points.map((p) => p.x)) + gap
    return { ...mark, points: points.map((p) => ({ x: from + p.x, y: p.y })) }
  })
}

/** The least rectangle round all points, with room about it; undefined where nothing is there. */
export function boundsOf(marks: Mark[], room = 4): { x: number; y: number; w: number; h: number } | undefined {
  const all = marks.flatMap((m) => m.points)
  if (!all.length) return undefined
  const [xs, ys] = [all.map((p) => p.x), all.map((p) => p.y)]
  const [x, y] = [Math.min(...xs) - room, Math.min(...ys) - room]
  return { x, y, w: Math.max(...xs) + room - x, h: Math.max(...ys) + room - y }
}

/** Where a light would go that is put on the plan by key: into the wall of its body, beside those already there. */
export function firstPlace(mark: Mark, marks: Mark[], subjects: SurveySubject[], view: Point): Point {
  const own = subjects.find((s) => s.id === mark.subject)
  const wall = marks.find((m) => m.role === 'outline' && m.subject === own?.of)?.points ?? []
  if (mark.kind !== 'position' || wall.length < 3) return view
  const taken = marks.filter((m) => m.kind === 'position' && m.points.length).length
  const from = middle(wall)
  const turn = (taken * 2 * Math.PI) / 5
  const far = { x: from.x + 1000 * Math.cos(turn), y: from.y + 1000 * Math.sin(turn) }
  return onWall(far, wall) ?? view
}
