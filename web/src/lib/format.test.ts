import { describe, expect, it } from 'vitest'
import { cents, count, list, money, percent } from './format'
import { depthText, lengthText, volumeText } from './units'

describe('money', () => {
  it('shows whole cents', () => {
    expect(money(123_456)).toBe('$1,234.56')
    expect(money(-5)).toBe('−$0.05')
    expect(money(618_749, false)).toBe('$6,187')
  })
  it('never shows an unknown as zero', () => expect(money(null)).toBe('not known yet'))
  it('reads what people type', () => {
    expect(cents('$1,234.5')).toBe(123_450)
    expect(cents('12')).toBe(1_200)
    expect(cents('.75')).toBe(75)
    expect(cents('twelve')).toBeNull()
    expect(cents('')).toBeNull()
    expect(cents('1.234')).toBeNull()
  })
})

describe('measures', () => {
  // 1 in = 25.4 mm exactly; 1 gal = 3.785411784 L: NIST Handbook 44, appendix C.
  it('shows feet and inches', () => {
    expect(lengthText(304_800, 'us')).toBe('1 ft')
    expect(lengthText(330_200, 'us')).toBe('1 ft 1 in')
    expect(lengthText(304_800 - 1, 'us')).toBe('1 ft')
    expect(lengthText(1_234_567, 'metric')).toBe('1.23 m')
    expect(depthText(330_200, 'us')).toBe('13 in')
  })
  it('shows gallons', () => {
    expect(volumeText(3_785_412, 'us')).toBe('1,000 gal')
    expect(volumeText(undefined, 'us')).toBe('not known yet')
  })
})

describe('words', () => {
  it('counts and lists', () => {
    expect(count(1, 'light')).toBe('1 light')
    expect(count(0, 'light')).toBe('0 lights')
    expect(list(['a', 'b', 'c'])).toBe('a, b and c')
    expect(percent(0.728)).toBe('73 %')
    expect(percent(null)).toBe('not known yet')
  })
})
