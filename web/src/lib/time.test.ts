import { describe, expect, it } from 'vitest'
import { addDays, clock, customerSpan, customerTime, dayClock, dayOf, instant, lasting, localInput, monday, sayDay, span } from './time'

const utc = (text: string): number => Date.parse(text) / 1000

describe('instants of wall-clock times', () => {
  // The two transitions of 2026 in America/Los_Angeles by the IANA tz database: 8 March 10:00Z and 1 November
  // 09:00Z. What happens to times in the gap and in the overlap: RFC 5545 section 3.3.5.
  const table: [string, string, string, string][] = [
    ['a plain winter time', '2026-01-15T08:30', 'America/Los_Angeles', '2026-01-15T16:30:00Z'],
    ['a plain summer time', '2026-07-15T08:30', 'America/Los_Angeles', '2026-07-15T15:30:00Z'],
    ['the last minute before the gap', '2026-03-08T01:59', 'America/Los_Angeles', '2026-03-08T09:59:00Z'],
    ['inside the gap: the offset before it', '2026-03-08T02:30', 'America/Los_Angeles', '2026-03-08T10:30:00Z'],
    ['just after the gap', '2026-03-08T03:00', 'America/Los_Angeles', '2026-03-08T10:00:00Z'],
    ['twice: the first', '2026-11-01T01:30', 'America/Los_Angeles', '2026-11-01T08:30:00Z'],
    ['after the overlap', '2026-11-01T02:00', 'America/Los_Angeles', '2026-11-01T10:00:00Z'],
    ['a zone without summer time', '2026-07-15T08:30', 'America/Phoenix', '2026-07-15T15:30:00Z'],
    ['a day alone is its midnight', '2026-12-09', 'America/Phoenix', '2026-12-09T07:00:00Z'],
  ]
  for (const [what, local, zone, want] of table) {
    it(what, () => expect(instant(local, zone)).toBe(utc(want)))
  }

  it('refuses what is no date', () => expect(() => instant('tomorrow', 'UTC')).toThrow(/not a date/))

  it('comes back from an input unchanged', () => {
    const at = utc('2026-12-09T15:20:00Z')
    expect(instant(localInput(at, 'America/Phoenix'), 'America/Phoenix')).toBe(at)
  })
})

describe('saying times', () => {
  const at = utc('2026-12-09T15:05:00Z')
  it('has the weekday with every date', () => {
    expect(dayClock(at, 'America/Phoenix')).toBe('Wed 9 Dec 8:05')
    expect(sayDay('2026-12-09')).toBe('Wed 9 Dec')
  })
  it('uses the named zone, not the browser’s', () => {
    expect(clock(at, 'America/Phoenix')).toBe('8:05')
    expect(clock(at, 'America/New_York')).toBe('10:05')
    expect(dayOf(utc('2026-12-10T05:00:00Z'), 'America/Phoenix')).toBe('2026-12-09')
  })
  it('says midnight as 0:00 of the new day', () => {
    expect(dayClock(utc('2026-12-10T07:00:00Z'), 'America/Phoenix')).toBe('Thu 10 Dec 0:00')
  })
  it('names both days of a span over midnight', () => {
    expect(span(at, at + 3600, 'America/Phoenix')).toBe('Wed 9 Dec 8:05–9:05')
    expect(span(at, at + 86_400, 'America/Phoenix')).toBe('Wed 9 Dec 8:05 – Thu 10 Dec 8:05')
  })
  it('says customers’ times in their own form', () => {
    expect(customerTime(utc('2026-12-10T07:00:00Z'), 'America/Phoenix')).toBe('Thu, Dec 10, 12:00 am')
    expect(customerSpan(utc('2026-12-09T18:30:00Z'), utc('2026-12-09T20:00:00Z'), 'America/Phoenix')).toBe('Wed, Dec 9, 11:30 am – 1:00 pm')
  })
  it('says how long', () => {
    expect(lasting(8_400)).toBe('2 h 20 min')
    expect(lasting(90_000)).toBe('1 day 1 h')
    expect(lasting(10)).toBe('0 min')
  })
})

describe('days', () => {
  it('counts over months and leap days', () => {
    expect(addDays('2028-02-28', 1)).toBe('2028-02-29')
    expect(addDays('2026-12-31', 1)).toBe('2027-01-01')
  })
  // ISO 8601: weeks begin on Monday; 1 January 2027 is a Friday of the week that began on 28 December 2026.
  it('knows the Monday of its week', () => {
    expect(monday('2027-01-01')).toBe('2026-12-28')
    expect(monday('2026-12-07')).toBe('2026-12-07')
    expect(monday('2026-12-13')).toBe('2026-12-07')
  })
})
