import { describe, expect, it } from 'vitest'
import { base, limits, number, satisfied } from './reading'

describe('readings', () => {
  it('reads what is written by hand', () => {
    expect(number('7 1/2')).toBe(7.5)
    expect(number('1/4')).toBe(0.25)
    expect(number('7.5')).toBe(7.5)
    expect(number('')).toBeNull()
    expect(number('about 7')).toBeNull()
    expect(number('1/0')).toBeNull()
  })
  // 1 in = 25.4 mm exactly (NIST Handbook 44, appendix C).
  it('sends whole base units', () => {
    expect(base('13 1/2', 'in')).toBe(342_900)
    expect(base('0.1', 'ppm')).toBe(100)
    expect(base('7.2', 'pH')).toBe(7_200)
    expect(base('12', 'furlong')).toBeNull()
  })
  it('says limits in the unit of the reading', () => {
    expect(limits(6_500, 8_500, 'pH')).toBe('6.5 to 8.5 pH')
    expect(limits(undefined, 100, 'ppm')).toBe('at most 0.1 ppm')
    expect(limits(undefined, undefined, 'V')).toBe('')
  })
  it('holds a step as the server does', () => {
    const dead = { needs: 'reading', low_limit: 0, high_limit: 1_000 }
    expect(satisfied(dead, undefined)).toBe(false)
    expect(satisfied(dead, { text: '120', value: 120_000 })).toBe(false)
    expect(satisfied(dead, { text: '0', value: 0 })).toBe(true)
    expect(satisfied(dead, { text: 'dead' })).toBe(false)
    expect(satisfied({ needs: 'choice' }, { text: 'no-go' })).toBe(false)
    expect(satisfied({ needs: 'choice' }, { text: 'go' })).toBe(true)
    expect(satisfied({ needs: 'tick' }, {})).toBe(true)
  })
})
