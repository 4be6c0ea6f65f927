import { describe, expect, it } from 'vitest'
import type { WeekView } from '../contract'
import { daysBetween } from './days'
import { fromView } from './view'

const utc = (text: string): number => Date.parse(text) / 1000
const stop = (id: string, job: string, kind: string, start: string, end: string, more = {}) => ({
  visit_id: id,
  job_id: job,
  job_number: 7,
  kind,
  site_name: 'Cholla Ln 5',
  customer_name: 'Dana Quill',
  place: 1,
  arrive_at: start,
  start_at: start,
  end_at: end,
  pumps_after: 0,
  state: 'routed',
  ...more,
})

// An invented week of two days in a zone without summer time.
const view = {
  branch_id: 'b',
  zone: 'America/Phoenix',
  first_day: '2026-12-07',
  days: 2,
  from_at: '2026-12-07T07:00:00Z',
  to_at: '2026-12-09T07:00:00Z',
  now: '2026-12-07T17:00:00Z',
  day_starts: ['2026-12-07T07:00:00Z', '2026-12-08T07:00:00Z', '2026-12-09T07:00:00Z'],
  lanes: [
    {
      crew_id: 'c',
      crew_name: 'Crew Alder',
      people: ['Ines', 'Paul'],
      days: [
        {
          day: '2026-12-07',
          shift_from: '2026-12-07T14:00:00Z',
          shift_to: '2026-12-07T22:30:00Z',
          morning_pumps: 1,
          drive_metres: 0,
          stops: [
            stop('v2', 'j', 'convert', '2026-12-07T19:00:00Z', '2026-12-07T21:00:00Z', {
              promise_from: '2026-12-07T18:00:00Z',
              promise_to: '2026-12-07T20:00:00Z',
            }),
            stop('v1', 'j', 'convert', '2026-12-07T15:00:00Z', '2026-12-07T17:00:00Z', { state: 'under_way' }),
          ],
        },
        {
          day: '2026-12-08',
          shift_from: '2026-12-08T14:00:00Z',
          shift_to: '2026-12-08T22:00:00Z',
          morning_pumps: 0,
          drive_metres: 0,
          stops: [],
        },
      ],
    },
  ],
  strips: [
    {
      job_id: 'j',
      job_number: 7,
      site_name: 'Cholla Ln 5',
      customer_name: 'Dana Quill',
      way_low: 'customer',
      told_from: '2026-12-07T08:00:00Z',
      told_to: '2026-12-07T10:00:00Z',
      limit_at: '2026-12-08T20:00:00Z',
      points: [
        { at: '2026-12-07T12:00:00Z', early: 1000, late: 750 },
        { at: '2026-12-07T08:00:00Z', early: 0, late: 0 },
      ],
      visit_ids: ['v1', 'v2', 'gone'],
    },
  ],
  left_out: [],
  heads: [],
  total_cents: 0,
  closures: [],
} as unknown as WeekView

describe('the contract’s week as the chart draws it', () => {
  const drawn = fromView(view)

  it('turns thousandths below full into shares above low, the later quantile on top', () => {
    expect(drawn.strips[0]?.curve).toEqual([
      { at: utc('2026-12-07T08:00:00Z'), high: 1, low: 1 },
      { at: utc('2026-12-07T12:00:00Z'), high: 0.25, low: 0 },
    ])
  })

  it('puts stops in order and names the parts of a split visit', () => {
    expect(drawn.lanes[0]?.days[0]?.stops.map((s) => [s.id, s.act, s.begun])).toEqual([
      ['v1', 'convert, part 1 of 2', true],
      ['v2', 'convert, part 2 of 2', false],
    ])
  })

  it('gives the pool the promises and visits of its job, and no visit that is not there', () => {
    expect(drawn.strips[0]?.promised).toEqual([{ from: utc('2026-12-07T18:00:00Z'), to: utc('2026-12-07T20:00:00Z') }])
    expect(drawn.strips[0]?.visits.map((v) => v.id)).toEqual(['v1', 'v2'])
  })

  it('writes the limit in the branch’s zone', () => {
    expect(drawn.strips[0]?.limit?.text).toBe('covered by Tue 13:00 at the latest')
  })

  it('draws all days wide over the longest shift, 8 to 17 at the least, with room at both ends', () => {
    for (const day of drawn.days) {
      expect((day.wideFrom - day.start) / 3600).toBe(6)
      expect((day.wideTo - day.start) / 3600).toBe(18)
    }
    expect(drawn.days.map((d) => d.date)).toEqual(['2026-12-07', '2026-12-08'])
  })
})

describe('days around a strip that stands alone', () => {
  it('begin and end at local midnights, also where a clock is set forward', () => {
    // 8 March 2026: 23 hours in America/Denver (IANA tz database).
    const days = daysBetween(utc('2026-03-08T12:00:00Z'), utc('2026-03-09T12:00:00Z'), 'America/Denver')
    expect(days.map((d) => [d.date, (d.end - d.start) / 3600])).toEqual([
      ['2026-03-08', 23],
      ['2026-03-09', 24],
    ])
  })
})
