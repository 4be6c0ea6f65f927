import { describe, expect, it } from 'vitest'
import { moreOrLess, permille } from '../../lib/amounts'
import { happenings, kinds, toChange, wanted, type Wanted } from './change'

const zone = 'America/Denver'
const ask = (w: Partial<Wanted>): ReturnType<typeof toChange> => toChange(wanted(w), zone)

describe('a change from its form', () => {
  it('moves a visit to a crew’s day, to the cheapest place unless one is said', () => {
    const to = { kind: 'visit', visitId: 'v', crewId: 'c', day: '2026-03-09' } as const
    expect(ask(to)).toEqual({ kind: 'visit', visit_id: 'v', crew_id: 'c', day: '2026-03-09' })
    expect(ask({ ...to, after: 'first' })).toMatchObject({ first: true })
    expect(ask({ ...to, after: 'x' })).toMatchObject({ after_visit_id: 'x' })
  })

  it('takes clock times in the branch’s zone, on either side of a change of clocks', () => {
    // Clocks there go forward on 8 March 2026: UTC-7 before, UTC-6 after (IANA tz database).
    const to = { kind: 'visit', visitId: 'v', crewId: 'c', clock: '08:30' } as const
    expect(ask({ ...to, day: '2026-03-07' })).toMatchObject({ start_at: '2026-03-07T15:30:00.000Z' })
    expect(ask({ ...to, day: '2026-03-09' })).toMatchObject({ start_at: '2026-03-09T14:30:00.000Z' })
  })

  it.each<[Partial<Wanted>, Partial<Wanted>]>([
    [{ kind: 'visit', visitId: 'v', crewId: 'c' }, { day: '2026-03-09' }],
    [{ kind: 'visit_longer', visitId: 'v', hours: 'long' }, { hours: '2.5' }],
    [{ kind: 'job_earlier', jobId: 'j' }, { byDay: '2026-03-09' }],
    [{ kind: 'job_out' }, { jobId: 'j' }],
    [{ kind: 'job_in' }, { jobId: 'j' }],
    [{ kind: 'water', jobId: 'j', reading: ' ' }, { reading: '7 1/2' }],
    [{ kind: 'person_out', personId: 'p' }, { fromDay: '2026-03-09' }],
    [{ kind: 'person_moved', personId: 'p', fromDay: '2026-03-09' }, { crewId: 'c' }],
    [{ kind: 'crew_out', fromDay: '2026-03-09' }, { crewId: 'c' }],
    [{ kind: 'pump_broken', pumpId: 'p' }, { fromDay: '2026-03-09' }],
    [{ kind: 'closed', shut: 'area', begins: '2026-03-09T11:00', ends: '2026-03-09T15:00' }, { area: '85999' }],
    [{ kind: 'closed', shut: 'site', begins: '2026-03-09T11:00', ends: '2026-03-09T15:00' }, { siteId: 's' }],
  ])('is none while something is missing: %o', (given, rest) => {
    expect(ask(given)).toBeUndefined()
    expect(ask({ ...given, ...rest })).toMatchObject({ kind: given.kind })
  })

  it('says from which minute on somebody is out, and until which day', () => {
    const out = { kind: 'person_out', personId: 'p', fromDay: '2026-03-09' } as const
    expect(ask({ ...out, fromClock: '06:30', toDay: '2026-03-10' })).toMatchObject({ from_minute: 390, to_day: '2026-03-10' })
    expect(ask(out)).not.toHaveProperty('from_minute')
  })

  it('offers each kind that can be tried once, and only kinds that can happen as happened', () => {
    const tried = kinds.flatMap((g) => g.kinds.map(([kind]) => kind))
    expect(new Set(tried).size).toBe(tried.length)
    for (const [kind] of happenings) expect(kind === 'as_it_is' || tried.includes(kind)).toBe(true)
  })
})

describe('amounts', () => {
  it.each([
    [1_240, '$12.40 more'],
    [-300, '$3.00 less'],
    [0, 'no change'],
  ])('says %d cents as "%s"', (cents, said) => expect(moreOrLess(cents)).toBe(said))
  it.each([
    [834, 21, '83 % (±2)'],
    [999, 4, '100 % (±0.4)'],
    [0, 0, '0 % (±0)'],
  ])('says %d of a thousand with ±%d as "%s"', (kept, margin, said) => expect(permille(kept, margin)).toBe(said))
})
