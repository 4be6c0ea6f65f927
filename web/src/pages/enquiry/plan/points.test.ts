import { describe, expect, it } from 'vitest'
import type { SurveySubject, SurveyValue } from '../../../lib/contract'
import { feetOf, insideOf, lengthOf, onWall, pointsOf, pointsText, tape } from './points'
import { shapeOf } from './shapes'

const body = (values: Record<string, [string, string?]>): SurveySubject => ({
  id: 'b',
  kind: 'body',
  name: '',
  values: Object.fromEntries(
    Object.entries(values).map(([k, [text, unit]]): [string, SurveyValue] => [k, { text, known: 'told', ...(unit ? { unit } : {}) }]),
  ),
})
const area = (values: Record<string, [string, string?]>): number => insideOf(shapeOf(body(values)) ?? [])

describe('places on a plan', () => {
  // 1 ft = 304.8 mm exactly: NIST Special Publication 811 (2008), appendix B.
  it.each([
    ['12', 'ft', 12],
    [`16' 6 1/2"`, 'ft', 16 + 6.5 / 12],
    ['-3.048 m', 'ft', -10],
    ['24 in', 'ft', 2],
    ['18', 'in', 1.5],
  ])('reads %s', (text, unit, want) => expect(feetOf(text, unit)).toBeCloseTo(want, 9))
  it.each(['', 'x', '3 miles', '1/0', '4 1/0', '3,5', '12 parsec'])('does not read %s', (text) =>
    expect(feetOf(text)).toBeUndefined(),
  )
  it('writes and reads a list of places', () => {
    expect(pointsOf('0,0; 32,0; 32.5,16; -1,16.25')).toEqual([
      { x: 0, y: 0 },
      { x: 32, y: 0 },
      { x: 32.5, y: 16 },
      { x: -1, y: 16.25 },
    ])
    expect(pointsText(pointsOf('0,0; 32,0;') ?? [])).toBe('0,0; 32,0')
    expect(pointsOf('1,2; 3')).toBeUndefined()
    expect(pointsOf('1,2,3')).toBeUndefined()
  })
  it('measures ways and areas', () => {
    expect(lengthOf(pointsOf('0,0; 3,4; 3,10') ?? [])).toBe(11) // 3-4-5 triangle
    expect(insideOf(pointsOf('0,0; 4,0; 4,3; 0,3') ?? [])).toBe(12)
    expect([tape(5.5), tape(0.5), tape(11.999)]).toEqual(['5 ft 6 in', '6 in', '12 ft'])
    expect(onWall({ x: 5, y: 1 }, pointsOf('0,0; 10,0; 10,6; 0,6') ?? [])).toEqual({ x: 5, y: 0 })
  })
})

describe('outlines from sizes', () => {
  it('enclose the area of their shape (plane geometry)', () => {
    expect(area({ shape: ['rectangle'], length: ['32', 'ft'], width: ['16', 'ft'] })).toBeCloseTo(512, 6)
    expect(area({ shape: ['round'], diameter: ['20', 'ft'] })).toBeCloseTo(100 * Math.PI, 6)
    expect(area({ shape: ['oval'], length: ['30', 'ft'], width: ['15', 'ft'] })).toBeCloseTo((Math.PI / 4) * 450, 6)
  })
  it('enclose what the usual rule says for a kidney: 0.45 × (A + B) × length', () => {
    expect(area({ shape: ['kidney'], length: ['30', 'ft'], width: ['16', 'ft'], width_2: ['13', 'ft'] })).toBeCloseTo(391.5, 6)
  })
  it('follow the widths of a free form, also one that begins in a point', () => {
    expect(area({ shape: ['free_form'], widths: ['0 9 12 11 0', 'ft'], width_step: ['6', 'ft'] })).toBeCloseTo(192, 6)
  })
  it('are not there while a size is not known', () => {
    expect(shapeOf(body({ shape: ['rectangle'], length: ['32', 'ft'] }))).toBeUndefined()
    expect(shapeOf(body({ shape: ['round'], diameter: ['wide', 'ft'] }))).toBeUndefined()
  })
})
