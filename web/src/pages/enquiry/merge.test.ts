import { describe, expect, it } from 'vitest'
import type { SurveySubject, SurveyValue } from '../../lib/contract'
import { differing, merge } from './merge'

const told = (text: string): SurveyValue => ({ text, known: 'told' })
const body = (values: Record<string, SurveyValue>, id = 'body-1'): SurveySubject => ({ id, kind: 'body', name: '', values })

describe('joining two people’s surveys', () => {
  it('takes from each what only that one changed, also what was taken away', () => {
    const base = [body({ length: told('28 ft'), width: told('12 ft'), ph: told('7.4') })]
    const mine = [body({ length: told('29 ft'), width: told('12 ft'), ph: told('7.4') })]
    const theirs = [body({ length: told('28 ft'), finish: told('tile'), ph: told('7.4') })]
    const { subjects, clashes } = merge(base, mine, theirs)
    expect(subjects).toEqual([body({ length: told('29 ft'), finish: told('tile'), ph: told('7.4') })])
    expect(clashes).toEqual([])
  })

  it('keeps theirs and offers mine where both changed one value differently, and only then', () => {
    const base = [body({ length: told('28 ft'), width: told('12 ft') })]
    const mine = [body({ length: told('29 ft'), width: told('13 ft') })]
    const theirs = [body({ length: told('30 ft'), width: told('13 ft') })]
    const { subjects, clashes } = merge(base, mine, theirs)
    expect(subjects[0]?.values.length).toEqual(told('30 ft'))
    expect(clashes).toEqual([{ subject: 'body-1', field: 'length', mine: told('29 ft'), theirs: told('30 ft') }])
  })

  it('keeps apart two things that two people began under one id', () => {
    const light = (name: string): SurveySubject => ({ id: 'position-1', kind: 'position', name, values: {} })
    const run: SurveySubject = { id: 'conduit-1', kind: 'conduit', name: '', ends: ['position-1'], values: {} }
    const { subjects } = merge([], [light('Deep end'), run], [light('Steps')])
    expect(subjects.map((s) => [s.id, s.name])).toEqual([
      ['position-1', 'Steps'],
      ['position-2', 'Deep end'],
      ['conduit-1', ''],
    ])
    expect(subjects[2]?.ends).toEqual(['position-2'])
  })

  it('takes out what one took out unless the other wrote into it', () => {
    const base = [body({}, 'a'), body({}, 'b'), body({}, 'c')]
    const { subjects } = merge(base, [body({}, 'c')], [body({}, 'a'), body({ ph: told('7') }, 'b'), body({}, 'c')])
    expect(subjects.map((s) => s.id)).toEqual(['b', 'c'])
  })

  it('counts what differs', () => {
    expect(differing([body({ ph: told('7') })], [body({ ph: told('7') })])).toBe(0)
    expect(differing([body({ ph: told('7'), salt: told('no') })], [body({ ph: told('8') })])).toBe(2)
    expect(differing([], [body({})])).toBe(1)
  })
})
