import { describe, expect, it } from 'vitest'
import { position, positionText } from './position'

describe('a place on the road map', () => {
  it('is read as it is pasted', () => {
    expect(position('33.4484, -112.0740')).toEqual({ lat_e7: 334_484_000, lon_e7: -1_120_740_000 })
    expect(position('33.4484 -112.0740')).toEqual({ lat_e7: 334_484_000, lon_e7: -1_120_740_000 })
  })
  it('is refused where it lies on no globe', () => {
    expect(position('91, 0')).toBeNull()
    expect(position('33, 181')).toBeNull()
    expect(position('12 Lantern Way')).toBeNull()
  })
  it('comes back as it was', () => {
    expect(positionText(334_484_000, -1_120_740_000)).toBe('33.44840, -112.07400')
    expect(positionText(undefined, 1)).toBe('')
  })
})
