import { describe, expect, it } from 'vitest'
import { fromMinute } from '../../lib/minutes'
import { e7, fromGpm, shiftsText, toGpm, type Shift } from './yard'

const on = (weekday: number, from: number, to: number, overtime = 0): Shift => ({
  weekday,
  from_minute: from * 60,
  to_minute: to * 60,
  overtime_minutes: overtime,
})

describe('a crew’s hours in words', () => {
  it('joins days that are alike', () => {
    const week = [1, 2, 3, 4, 5].map((d) => on(d, 7, 16, 60))
    expect(shiftsText([...week, on(6, 8, 12)], fromMinute)).toBe('Mon to Fri 07:00–16:00 +60 min, Sat 08:00–12:00')
  })
  it('keeps days apart that are not', () => {
    expect(shiftsText([on(1, 7, 16), on(3, 7, 16), on(0, 9, 11)], fromMinute)).toBe(
      'Mon 07:00–16:00, Wed 07:00–16:00, Sun 09:00–11:00',
    )
    expect(shiftsText([], fromMinute)).toBe('no hours')
  })
})

it('reads degrees, and nothing that is none', () => {
  expect(e7('33.4512', 90)).toBe(334_512_000)
  expect(e7('-112.07', 180)).toBe(-1_120_700_000)
  for (const text of ['', ' ', 'north', '91']) expect(e7(text, 90)).toBeUndefined()
})

it('turns gallons a minute into millilitres a second and back', () => {
  expect(fromGpm(40)).toBe(2524) // 40 × 3,785.411784 / 60
  for (const gpm of [1, 12, 40, 55.5]) expect(toGpm(fromGpm(gpm))).toBe(gpm)
})
