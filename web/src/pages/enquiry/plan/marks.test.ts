import { expect, test } from 'vitest'
import type { SurveySubject } from '../../../lib/contract'
import { boundsOf, firstPlace, marksOf } from './marks'
import { insideOf } from './points'

const told = (text: string, unit = 'ft') => ({ text, unit, known: 'told' as const })
const body = (id: string, values: SurveySubject['values']): SurveySubject => ({ id, kind: 'body', name: id, values })
const pool = body('pool', { shape: { text: 'rectangle', known: 'told' }, length: told('32'), width: told('16') })

test('a body with sizes is drawn to scale, the next beside it', () => {
  const [a, b] = marksOf([pool, { ...pool, id: 'spa' }])
  expect(insideOf(a?.points ?? [])).toBeCloseTo(512)
  expect(a?.drawn).toBe(false)
  expect(Math.min(...(b?.points ?? []).map((p) => p.x))).toBe(36)
})

test('an outline that is drawn counts before its sizes, in the unit it was entered in', () => {
  const drawn = body('pool', { ...pool.values, outline: told('0,0; 10,0; 10,5', 'm') })
  const [mark] = marksOf([drawn])
  expect(mark?.drawn).toBe(true)
  expect(mark?.points[1]?.x).toBeCloseTo(32.8084) // 10 m; 1 ft = 0.3048 m exactly (NIST SP 811)
})

test('what is not known has no place, and unreadable places are not guessed', () => {
  const [unknown] = marksOf([body('pool', { shape: { text: 'rectangle', known: 'told' } })])
  expect(unknown?.points).toEqual([])
  const [broken] = marksOf([body('pool', { outline: told('0,0; here') })])
  expect(broken).toMatchObject({ broken: true, drawn: false, points: [] })
  expect(boundsOf(marksOf([]))).toBeUndefined()
})

test('a light put on the plan by key sits in the wall of its body', () => {
  const light: SurveySubject = { id: 'l1', kind: 'position', of: 'pool', name: '', values: {} }
  const marks = marksOf([pool, light])
  const p = firstPlace(marks[1]!, marks, [pool, light], { x: 5, y: 5 })
  expect(p.x === 0 || p.x === 32 || p.y === 0 || p.y === 16).toBe(true)
})
