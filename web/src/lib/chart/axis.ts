// One time axis for crews and water alike: time runs left to right, the working hours of a day at a fixed
// scale and its night narrowed, so that a week fits on a screen and a night stays visible as a night. The
// closer one looks, the truer the nights: at one day or less they have their full width.
import { civil } from '../time'

/** One civil day of the axis. All instants are unix seconds. */
export interface AxisDay {
  /** "2026-12-09" */
  date: string
  /** Midnight that begins the day, and the one that ends it (a day may have 23 or 25 hours). */
  start: number
  end: number
  /** The hours drawn wide. */
  wideFrom: number
  wideTo: number
}

/** How much of the axis is in view: the whole of it, three days, one day, six hours, one hour. */
export const zooms = ['all', 'days', 'day', 'hours', 'hour'] as const
export type Zoom = (typeof zooms)[number]

const spans: Record<Exclude<Zoom, 'all'>, number> = { days: 3 * 86_400, day: 86_400, hours: 21_600, hour: 3_600 }
const nightScale: Record<Zoom, number> = { all: 0.2, days: 0.4, day: 1, hours: 1, hour: 1 }

/** A line of the grid, with the hour or quarter written at it where there is room. */
export interface Tick {
  at: number
  label: string
  strong: boolean
}

/** The axis: positions from instants and back. Positions are pixels from the left edge of the plot. */
export class Axis {
  readonly from: number
  readonly to: number
  private readonly knots: number[]
  private readonly warped: number[]
  private readonly w0: number
  private readonly scale: number

  /** `centre` says where a closer view looks; it is moved inwards where the view would leave the axis. */
  constructor(
    readonly days: readonly AxisDay[],
    readonly width: number,
    readonly zoom: Zoom,
    readonly zone: string,
    centre?: number,
  ) {
    const first = days[0]
    const last = days[days.length - 1]
    if (!first || !last) throw new RangeError('an axis needs at least one day')
    const night = nightScale[zoom]
    this.knots = []
    this.warped = []
    let w = 0
    let before = first.start
    const knot = (at: number, rate: number): void => {
      w += (at - before) * rate
      before = at
      this.knots.push(at)
      this.warped.push(w)
    }
    for (const day of days) {
      knot(day.start, night)
      knot(day.wideFrom, night)
      knot(day.wideTo, 1)
    }
    knot(last.end, night)

    if (zoom === 'all') {
      this.from = first.start
      this.to = last.end
    } else {
      const length = Math.min(spans[zoom], last.end - first.start)
      const middle = centre ?? first.start + length / 2
      // A view of whole days begins at a midnight: half-days at both edges read badly.
      let from = middle - length / 2
      if (zoom === 'day' || zoom === 'days') {
        const i = Math.max(
          0,
          days.findIndex((d) => middle < d.end),
        )
        const lead = zoom === 'days' ? 1 : 0
        from = days[Math.max(0, Math.min(i - lead, days.length - (zoom === 'days' ? 3 : 1)))]?.start ?? first.start
      }
      from = Math.max(first.start, Math.min(from, last.end - length))
      this.from = from
      this.to = from + length
    }
    this.w0 = this.warp(this.from)
    this.scale = width / (this.warp(this.to) - this.w0)
  }

  private warp(at: number): number {
    return between(this.knots, this.warped, at)
  }

  /** Pixels from the plot's left edge; may lie outside it. */
  x(at: number): number {
    return (this.warp(at) - this.w0) * this.scale
  }

  /** The instant at a position. */
  at(x: number): number {
    return between(this.warped, this.knots, x / this.scale + this.w0)
  }

  /** Whether any of the span is in view. */
  shows(from: number, to: number): boolean {
    return to >= this.from && from <= this.to
  }

  /** The parts of the nights in view, as spans of instants. */
  nights(): { from: number; to: number }[] {
    return this.days
      .flatMap((day) => [
        { from: day.start, to: day.wideFrom },
        { from: day.wideTo, to: day.end },
      ])
      .filter((night) => night.to > night.from && this.shows(night.from, night.to))
  }

  /** Lines of the grid: every second hour of the day at the week's scale, down to ten minutes at an hour's. */
  ticks(): Tick[] {
    const step = { all: 7_200, days: 7_200, day: 3_600, hours: 1_800, hour: 600 }[this.zoom]
    const room = this.zoom === 'hour' || this.zoom === 'hours' ? 40 : 19
    const found: Tick[] = []
    let lastX = -Infinity
    for (const day of this.days) {
      for (let at = day.start; at < day.end; at += step) {
        if (!this.shows(at, at)) continue
        const narrow = nightScale[this.zoom] < 1
        if (narrow && (at <= day.wideFrom || at >= day.wideTo)) continue
        const c = civil(at, this.zone)
        const x = this.x(at)
        const label = x - lastX >= room ? (step < 3_600 ? `${c.hour}:${String(c.minute).padStart(2, '0')}` : String(c.hour)) : ''
        if (label) lastX = x
        found.push({ at, label, strong: c.minute === 0 })
      }
    }
    return found
  }
}

/** Piecewise linear through the points, straight on beyond both ends. */
function between(xs: number[], ys: number[], x: number): number {
  let hi = 1
  while (hi < xs.length - 1 && (xs[hi] as number) < x) hi++
  const x0 = xs[hi - 1] as number
  const x1 = xs[hi] as number
  const y0 = ys[hi - 1] as number
  const y1 = ys[hi] as number
  if (x1 === x0) return y0
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0)
}

/** The next closer view, or the next wider. Stays where there is none. */
export function closer(zoom: Zoom): Zoom {
  return zooms[Math.min(zooms.indexOf(zoom) + 1, zooms.length - 1)] ?? zoom
}
export function wider(zoom: Zoom): Zoom {
  return zooms[Math.max(zooms.indexOf(zoom) - 1, 0)] ?? zoom
}
