// The plan while somebody draws on it: what is picked, what was undone, and how a change becomes a value of the
// survey. Dots that do not make a thing yet (an outline of two) wait here and are kept with the third.
import type { SurveyValue } from '../../../lib/contract'
import type { SurveyDraft } from '../survey.svelte'
import { snap, withDot, withNext, without, type View } from './edit'
import { firstPlace, least, marksOf, type Mark } from './marks'
import { onWall, pointsText, type Point } from './points'

interface Step {
  subject: string
  values: Record<string, SurveyValue | undefined>
  pending: Point[] | undefined
}

export class Board {
  /** The key of what is drawn on now. */
  picked = $state('')
  /** The dot that acts apply to. */
  at = $state(0)
  /** Points that are on their way: under a pointer. */
  moving = $state.raw<{ key: string; points: Point[] } | undefined>(undefined)
  pending = $state.raw<Record<string, Point[]>>({})
  steps = $state.raw<Step[]>([])
  /** What just happened, for those who do not see it. */
  says = $state('')

  readonly marks = $derived.by(() => {
    const pending = this.pending
    const moving = this.moving
    return marksOf(this.draft.subjects).map((m): Mark => {
      if (moving?.key === m.key) return { ...m, points: moving.points, drawn: true }
      const waits = pending[m.key]
      return waits && !m.drawn ? { ...m, points: waits, drawn: false } : m
    })
  })
  readonly mark = $derived(this.marks.find((m) => m.key === this.picked))

  constructor(
    private readonly draft: SurveyDraft,
    private readonly known: () => SurveyValue['known'],
  ) {}

  pick(key: string): void {
    this.picked = key
    this.at = 0
  }

  /** A place as this thing takes it: lights in the wall of their body, all else on the grid. */
  fit(mark: Mark, p: Point): Point {
    const on = snap(p)
    if (mark.kind !== 'position') return on
    const of = this.draft.subjects.find((s) => s.id === mark.subject)?.of
    const wall = this.marks.find((m) => m.role === 'outline' && m.subject === of)?.points ?? []
    const q = wall.length > 2 ? onWall(on, wall) : undefined
    return q && Math.hypot(q.x - on.x, q.y - on.y) < 1.5 ? q : on
  }

  /** Keeps new points of a thing as a value of the survey. */
  keep(mark: Mark, points: Point[], says: string): void {
    const subject = this.draft.subjects.find((s) => s.id === mark.subject)
    if (!subject) return
    const step: Step = { subject: mark.subject, values: { [mark.field]: subject.values[mark.field] }, pending: this.pending[mark.key] }
    if (mark.role === 'outline') step.values.shape = subject.values.shape
    this.steps = [...this.steps.slice(-99), step]
    const enough = points.length >= least[mark.role]
    const rest = { ...this.pending }
    delete rest[mark.key]
    if (!enough && points.length) rest[mark.key] = points
    this.pending = rest
    const before = subject.values[mark.field]
    const known = before && before.known !== 'unknown' ? before.known : this.known()
    this.draft.set(subject, mark.field, enough ? { text: pointsText(points), unit: 'ft', known } : undefined)
    if (mark.role === 'outline' && enough && subject.values.shape?.text !== 'drawn')
      this.draft.set(subject, 'shape', { text: 'drawn', known })
    this.says = says
  }

  /** A dot where somebody points. */
  dot(mark: Mark, p: Point): void {
    if (mark.role === 'place') {
      this.at = 0
      this.keep(mark, [this.fit(mark, p)], `${mark.name} placed`)
      return
    }
    const { points, at } = withDot(mark.points, this.fit(mark, p), mark.role === 'outline')
    this.at = at
    this.keep(mark, points, `Dot ${at + 1} of ${points.length} of ${mark.name} added`)
  }

  /** A dot by key: after the one in hand, or the first one in the middle of what is seen. */
  next(mark: Mark, view: View): void {
    const own = mark.points
    if (!own.length) {
      const middle = snap({ x: view.x + view.w / 2, y: view.y + view.h / 2 })
      this.at = 0
      this.keep(mark, [firstPlace(mark, this.marks, this.draft.subjects, middle)], `${mark.name} on the plan`)
    } else if (mark.role !== 'place') {
      const { points, at } = withNext(own, this.at, mark.role === 'outline' && own.length > 2)
      this.at = at
      this.keep(mark, points, `Dot ${at + 1} of ${points.length} of ${mark.name} added`)
    }
  }

  /** Takes one dot away; a thing with too few dots is off the plan once all are gone. */
  drop(mark: Mark, at: number): void {
    const own = mark.points
    if (mark.drawn && own.length <= least[mark.role] && mark.role !== 'place') {
      this.says = `${mark.name} needs ${least[mark.role]} dots; take it off the plan instead`
      return
    }
    const points = without(own, at)
    this.at = Math.max(0, Math.min(at, points.length - 1))
    this.keep(mark, points, points.length ? `Dot taken away, ${points.length} left` : `${mark.name} is off the plan`)
  }

  clear(mark: Mark): void {
    this.keep(mark, [], `${mark.name} is off the plan`)
  }


  undo(): void {
    const step = this.steps.at(-1)
    const subject = this.draft.subjects.find((s) => s.id === step?.subject)
    this.steps = this.steps.slice(0, -1)
    if (!step || !subject) return
    for (const [field, value] of Object.entries(step.values)) this.draft.set(subject, field, value)
    const key = this.marks.find((m) => m.subject === step.subject)?.key ?? ''
    const rest = { ...this.pending }
    if (step.pending) rest[key] = step.pending
    else delete rest[key]
    this.pending = rest
    this.at = 0
    this.says = 'Undone'
  }
}
