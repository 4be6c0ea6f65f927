import { describe, expect, it } from 'vitest'
import { Axis, closer, wider, zooms } from './axis'
import { days, zone } from './testing.week'

const at = (day: number, hour: number): number => (days[day]?.wideFrom ?? 0) + (hour - 7) * 3_600

describe('the time axis', () => {
  it('spans the plot from the first midnight to the last', () => {
    const axis = new Axis(days, 1000, 'all', zone)
    expect(axis.x(days[0]?.start ?? 0)).toBeCloseTo(0)
    expect(axis.x(days[2]?.end ?? 0)).toBeCloseTo(1000)
  })

  it('gives back the instant of every position, at every zoom', () => {
    for (const zoom of zooms) {
      const axis = new Axis(days, 1000, zoom, zone, at(1, 11))
      for (let x = 0; x <= 1000; x += 37) expect(axis.x(axis.at(x))).toBeCloseTo(x, 6)
    }
  })

  it('never runs backwards', () => {
    for (const zoom of zooms) {
      const axis = new Axis(days, 1000, zoom, zone, at(1, 11))
      let before = -Infinity
      for (let t = axis.from; t <= axis.to; t += 600) {
        expect(axis.x(t)).toBeGreaterThan(before)
        before = axis.x(t)
      }
    }
  })

  it('draws a night narrower than a working hour of the same length at the week’s scale', () => {
    const axis = new Axis(days, 1000, 'all', zone)
    const night = axis.x(at(0, 20)) - axis.x(at(0, 19))
    const work = axis.x(at(0, 10)) - axis.x(at(0, 9))
    expect(night).toBeLessThan(work * 0.3)
    expect(night).toBeGreaterThan(0)
  })

  it('draws nights true to scale at one day', () => {
    const axis = new Axis(days, 1000, 'day', zone, at(0, 12))
    expect(axis.x(at(0, 20)) - axis.x(at(0, 19))).toBeCloseTo(axis.x(at(0, 10)) - axis.x(at(0, 9)), 6)
    expect(axis.from).toBe(days[0]?.start)
  })

  it('draws a day on which nobody works as one night', () => {
    const off = days.map((d, i) => (i === 1 ? { ...d, wideFrom: d.end, wideTo: d.end } : d))
    const axis = new Axis(off, 1000, 'all', zone)
    const nights = axis.nights()
    expect(new Set(nights.map((n) => n.from)).size).toBe(nights.length)
    expect(nights).toContainEqual({ from: off[1]?.start, to: off[1]?.end })
    expect(axis.ticks().some((t) => t.at > (off[1]?.start ?? 0) && t.at < (off[1]?.end ?? 0))).toBe(false)
  })

  it('keeps closer views inside the days', () => {
    const axis = new Axis(days, 1000, 'hours', zone, (days[2]?.end ?? 0) + 5_000)
    expect(axis.to).toBe(days[2]?.end)
    expect(axis.to - axis.from).toBe(21_600)
  })

  it('names hours by the wall clock on the day that lost one', () => {
    const axis = new Axis(days, 1400, 'day', zone, at(1, 12))
    const labels = axis
      .ticks()
      .filter((t) => t.at < (days[1]?.end ?? 0))
      .map((t) => t.label)
    expect(labels.slice(0, 4)).toEqual(['0', '1', '3', '4'])
  })

  it('stops zooming at both ends', () => {
    expect(closer('hour')).toBe('hour')
    expect(wider('all')).toBe('all')
    expect(closer('all')).toBe('days')
  })
})
