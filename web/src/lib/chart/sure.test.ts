import { describe, expect, it } from 'vitest'
import type { DayNow, Odds } from '../contract'
import { instant } from '../time'
import { sayKept, withNow, withOdds } from './sure'
import { lanes, zone } from './testing.week'

const utc = (local: string): string => new Date(instant(local, zone) * 1000).toISOString()
const job = { job_id: 'j1', job_number: 1, customer_name: 'A', site_name: 'Ledge Rd 14' }
const at = { from_at: utc('2026-03-07T08:00'), to_at: utc('2026-03-07T10:00') }

describe('what is known beside the plan', () => {
  it('puts odds on the stops that are promised and on days with stops', () => {
    const odds = {
      promises: [{ ...job, ...at, visit_id: 'v2', kind: 'convert', kept_permille: 830, margin_permille: 24, standing: 'tight' }],
      days: [
        { crew_id: 'a', day: '2026-03-07', standing: 'tight' },
        { crew_id: 'c', day: '2026-03-09', standing: 'loose' },
      ],
    } as unknown as Odds
    const seen = withOdds(lanes, odds)
    const days = seen.flatMap((l) => l.days)
    expect(days.map((d) => d.standing)).toEqual(['tight', undefined, 'loose'])
    const kept = days.flatMap((d) => d.stops).filter((s) => s.kept)
    expect(kept.map((s) => s.id)).toEqual(['v2'])
    expect(kept[0]?.kept && sayKept(kept[0].kept)).toBe('promise tight, kept 83 % (±2)')
    expect(withOdds(lanes, undefined)).toBe(lanes)
  })

  it('shows when a stop of today is to be expected where that is news, and never a stop that has begun', () => {
    const stop = (visit_id: string, expected: string, late?: number): object => ({
      ...job,
      visit_id,
      expected_at: utc(expected),
      expected_end_at: utc('2026-03-07T13:00'),
      ...(late ? { late_seconds: late } : {}),
    })
    const now = {
      day: '2026-03-07',
      crews: [{ stops: [stop('v1', '2026-03-07T08:03'), stop('v2', '2026-03-07T10:20', 1_200)] }],
    } as unknown as DayNow
    const [v1, v2, v3] = withNow(lanes, now)[0]?.days.flatMap((d) => d.stops) ?? []
    expect(v1?.expected).toBeUndefined()
    expect(v2?.expected).toMatchObject({ start: instant('2026-03-07T10:20', zone), late: true })
    expect(v3?.expected).toBeUndefined()
    const begun = lanes.map((l) => ({ ...l, days: l.days.map((d) => ({ ...d, stops: d.stops.map((s) => ({ ...s, begun: true })) })) }))
    expect(withNow(begun, now)[0]?.days[0]?.stops.every((s) => !s.expected)).toBe(true)
  })
})
