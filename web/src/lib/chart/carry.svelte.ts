// Carrying a stop by pointer. A move of a few pixels begins it; a click stays a click. Whatever it can do, the list
// of places and the form can do too (WCAG 2.5.7).
import type { Axis } from './axis'
import type { Lane, Mark, Stop } from './plan'

const reach = 14 // pixels around a place within which a stop is let go there

export class Carry {
  id = $state('')
  moving = $state(false)
  /** The lane and the instant that it is over; null outside of the axis. */
  row = $state(-1)
  at = $state<number | null>(null)
  /** The place that it is over; -1 is none. */
  over = $state(-1)
  /** Seconds from the stop's start to where it was taken hold of, and how long it is. */
  grip = 0
  length = 0
  private from = { x: 0, y: 0 }

  grab(stop: Stop, event: PointerEvent, at: number | null): void {
    if (event.pointerType === 'touch') return // a finger scrolls
    this.id = stop.id
    this.moving = false
    this.grip = Math.max(0, (at ?? stop.start) - stop.start)
    this.length = stop.end - stop.start
    this.from = { x: event.clientX, y: event.clientY }
  }

  /** Follows the pointer; true at the moment in which carrying begins. */
  move(event: PointerEvent, row: number, at: number | null, lanes: Lane[], marks: Mark[], axis: Axis): boolean {
    if (!this.id || (event.buttons & 1) === 0) {
      this.end()
      return false
    }
    const begins = !this.moving && Math.hypot(event.clientX - this.from.x, event.clientY - this.from.y) > 7
    if (!this.moving && !begins) return false
    if (begins) {
      this.moving = true
      getSelection()?.removeAllRanges()
    }
    this.row = row
    this.at = at
    const crew = lanes[row]?.crewId
    const x = at === null ? 0 : axis.x(at - this.grip)
    let near = reach
    this.over = -1
    for (const [i, m] of marks.entries()) {
      const far = Math.abs(axis.x(m.start) - x)
      if (m.crewId === crew && far < near) {
        near = far
        this.over = i
      }
    }
    return begins
  }

  end(): void {
    this.id = ''
    this.moving = false
    this.over = -1
    this.row = -1
    this.at = null
  }
}
