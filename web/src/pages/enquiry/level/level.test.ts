import { expect, test } from 'vitest'
import type { SurveySubject } from '../../../lib/contract'
import { apart, below, depthsOf, rangeOf, sectionsOf } from './level'

const inch = 25_400
const told = (inches: number) => ({ text: String(inches), unit: 'in', known: 'told' as const, base: inches * inch })
const pool: SurveySubject = { id: 'pool', kind: 'body', name: 'Pool', values: { level: told(2) } }
const light: SurveySubject = { id: 'l1', kind: 'position', of: 'pool', name: 'Deep light', values: { depth: told(24), fitting_size: told(4) } }
const supply: SurveySubject = { id: 's', kind: 'supply', name: 'Box', values: { height_deck: told(12), height_water: told(18) } }
const estimate = {
  bodies: [
    {
      body: 'pool',
      name: 'Pool',
      lowered: true,
      working: { known: true, value: 32 * inch, low: 31 * inch, high: 33 * inch, text: `2' 8"`, margin: '6" below' },
      drop: { known: true, text: `2' 6"` },
    },
    { body: 'spa', name: 'Spa', lowered: false },
  ],
}

test('heights are taken from survey and estimate, the deck between water and supply', () => {
  const [s, ...more] = sectionsOf(estimate, [pool, light, supply])
  expect(more).toEqual([])
  expect(s).toMatchObject({ now: 2 * inch, deck: -6 * inch, supply: { at: -18 * inch }, drop: `2' 6"`, missing: [] })
  expect(s?.fittings[0]).toMatchObject({ upper: 22 * inch, lower: 26 * inch })
  const range = rangeOf(s!)!
  expect(range.from).toBeLessThan(-18 * inch)
  expect(range.to).toBeGreaterThan(33 * inch)
})

test('what is not known is not drawn but named with its field', () => {
  const dark: SurveySubject = { ...light, values: { depth: { text: '', known: 'unknown', note: 'asked' } } }
  const bare = { bodies: [{ body: 'pool', name: 'Pool', lowered: true, working: { known: false, value: 0, text: 'not known yet' } }] }
  const [s] = sectionsOf(bare, [{ ...pool, values: {} }, dark, { ...supply, values: { height_deck: told(12) } }])
  expect(s?.working).toBeUndefined()
  expect(s?.deck).toBeUndefined()
  expect(s?.fittings).toEqual([])
  expect(s?.missing.map((m) => `${m.subject}.${m.field}`)).toEqual(['pool.level', 'l1.depth', 's.height_water'])
  expect(rangeOf(s!)).toBeUndefined()
  expect(sectionsOf(undefined, [pool])).toEqual([])
})

test('labels keep their distance and their order', () => {
  expect(apart([10, 0, 12], 15)).toEqual([15, 0, 30])
})

test('heights in words', () => {
  expect(below(0)).toBe('at the tile line')
  expect(below(32 * inch)).toBe(`2' 8" below`)
  expect(below(-6.5 * inch)).toBe(`6 1/2" above`)
})

test('lights at one depth share a label', () => {
  const at = (id: string, depth: number) => ({ id, name: id, depth })
  expect(depthsOf([at('a', 5), at('b', 9), at('c', 5)])).toEqual([
    { at: 5, text: '2 lights' },
    { at: 9, text: 'b' },
  ])
})
