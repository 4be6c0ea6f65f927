import { expect, test } from 'vitest'
import type { Drawn } from '../chart/view'
import type { WeekMap } from '../contract'
import { allDays, draw, letter, moment, unpack, usualDay } from './picture'
import { hues } from './style'

const day = (n: number): number => Date.UTC(2026, 2, 9 + n) / 1000
const dates = ['2026-03-09', '2026-03-10']
const stop = (id: string, jobId: string, n: number, hour: number) => ({
  id,
  jobId,
  name: jobId,
  kind: 'convert',
  act: 'convert',
  leave: day(n) + (hour - 1) * 3600,
  arrive: day(n) + hour * 3600,
  start: day(n) + hour * 3600,
  end: day(n) + (hour + 1) * 3600,
  slack: null,
  binds: '',
  begun: false,
})
const crewDay = (date: string, stops: ReturnType<typeof stop>[]) => ({
  date,
  depart: 0,
  back: 0,
  stops,
  lunch: null,
  pumps: null,
})
const drawn = {
  days: dates.map((date, n) => ({ date, start: day(n), end: day(n + 1), wideFrom: day(n), wideTo: day(n + 1) })),
  lanes: [
    { crewId: 'c1', name: 'One', detail: '', days: [crewDay(dates[0]!, [stop('v1', 'j1', 0, 8), stop('v2', 'j2', 0, 11)])] },
    { crewId: 'c2', name: 'Two', detail: '', days: [crewDay(dates[0]!, [stop('v3', 'j2', 0, 9)]), crewDay(dates[1]!, [stop('v4', 'j1', 1, 8)])] },
  ],
  strips: [
    {
      jobId: 'j1',
      name: '',
      detail: '',
      curve: [
        { at: day(0), high: 1, low: 1 },
        { at: day(0) + 12 * 3600, high: 0, low: 0 },
        { at: day(1) + 6 * 3600, high: 0, low: 0 },
        { at: day(1) + 18 * 3600, high: 1, low: 1 },
      ],
      visits: [],
      promised: [],
      told: null,
      limit: null,
    },
  ],
  shut: [],
  now: day(-1),
} as unknown as Drawn
const site = (id: string, job: string, at?: [number, number]) => ({
  id,
  kind: 'site' as const,
  name: id,
  street: '',
  ...(at ? { lat_e7: at[0], lon_e7: at[1] } : {}),
  precision: at ? 'exact' : 'unknown',
  says: '',
  straight: false,
  job_ids: [job],
})
const map: WeekMap = {
  branch_id: 'b',
  places: [site('s1', 'j1', [334000000, -1120000000]), site('s2', 'j2', [334100000, -1119900000]), site('s3', 'j3')],
  days: [
    { crew_id: 'c1', day: dates[0]!, legs: [{ from_id: 's1', to_id: 's2', straight: false, steps: [33_400000, -112_000000, 5000, 0, 5000, 10000] }] },
    { crew_id: 'c2', day: dates[1]!, legs: [{ from_id: 's2', to_id: 's1', straight: true, steps: [33_410000, -111_990000, -10000, -10000] }] },
  ],
}

test('a drive is its first point and the steps from it', () => {
  expect(unpack([33_400000, -112_000000, 5000, 0, 5000, 10000])).toEqual([
    [-112, 33.4],
    [-112, 33.405],
    [-111.99, 33.41],
  ])
  expect(unpack([])).toEqual([])
})

test('stops are numbered by crew and day, and a place says everybody who comes', () => {
  const picture = draw(map, drawn, dates[0]!)
  expect(picture.pins.map((p) => p.label)).toEqual(['A1', 'B1 A2', ''])
  expect(picture.ways.map((w) => w.crew.letter)).toEqual(['A'])
  expect(draw(map, drawn, dates[0]!, 'c2').pins.map((p) => p.label)).toEqual(['', 'B1', ''])
  const week = draw(map, drawn, allDays)
  expect(week.pins.map((p) => p.label)).toEqual(['A B', 'B A', ''])
  expect(week.ways.map((w) => [w.crew.letter, w.straight])).toEqual([
    ['A', false],
    ['B', true],
  ])
})

test('what is not known is not drawn, and is no zero', () => {
  const [one, two, three] = draw(map, drawn, dates[0]!).pins
  expect([one?.at, three?.at]).toEqual([[-112, 33.4], null])
  expect([one?.level, two?.level]).toEqual([0, null])
  expect(draw({ ...map, places: [site('s3', 'j3')], days: [] }, drawn, dates[0]!).box).toBeNull()
})

test('the water is that of now, or of noon on another day', () => {
  expect(moment(drawn, dates[0]!)).toBe(day(0) + 12 * 3600)
  expect(moment({ ...drawn, now: day(0) + 3600 }, dates[0]!)).toBe(day(0) + 3600)
  expect(draw(map, drawn, dates[0]!).pins[0]?.water).toBe('low')
  expect(draw(map, drawn, dates[1]!).pins[0]).toMatchObject({ water: 'rising', level: 0.5 })
})

test('the first day looked at is today, or the first on which anybody drives', () => {
  expect(usualDay(map, dates, dates[1]!)).toBe(dates[1])
  expect(usualDay(map, dates, '2026-05-01')).toBe(dates[0])
  expect(usualDay({ ...map, days: [] }, dates, '2026-05-01')).toBe(dates[0])
})

test('every crew has a letter of its own', () => {
  expect(new Set(Array.from({ length: 60 }, (_, i) => letter(i))).size).toBe(60)
})

// WCAG 2.2, relative luminance and contrast ratio; the label on a crew's colour is the sheet's colour.
const luminance = (hex: string): number => {
  const part = (i: number): number => {
    const c = parseInt(hex.slice(i, i + 2), 16) / 255
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
  }
  return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
}
const contrast = (a: string, b: string): number => {
  const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p) as [number, number]
  return (x + 0.05) / (y + 0.05)
}
test('crews’ colours can be read on the sheet and seen on the ground, light and dark', () => {
  for (const [list, sheet, paper, ground] of [
    [hues.light, '#fffdf8', '#f6f3ec', '#f1ece1'],
    [hues.dark, '#161e27', '#10161d', '#121920'],
  ] as const) {
    for (const colour of list) {
      expect(contrast(colour, sheet), `${colour} on ${sheet}`).toBeGreaterThanOrEqual(4.5)
      expect(contrast(colour, paper), `${colour} on ${paper}`).toBeGreaterThanOrEqual(4.5)
      expect(contrast(colour, ground), `${colour} on ${ground}`).toBeGreaterThanOrEqual(3)
    }
  }
})
