// Axis days for a strip that stands alone, without a week around it.
import { addDays, dayOf, instant } from '../time'
import type { AxisDay } from './axis'

/** The civil days from one instant to another, wide from 7 to 18 by the wall clock; at most `most` of them. */
export function daysBetween(from: number, to: number, zone: string, most = 14): AxisDay[] {
  const days: AxisDay[] = []
  const last = dayOf(to, zone)
  for (let date = dayOf(from, zone); date <= last && days.length < most; date = addDays(date, 1)) {
    days.push({
      date,
      start: instant(date, zone),
      end: instant(addDays(date, 1), zone),
      wideFrom: instant(`${date}T07:00`, zone),
      wideTo: instant(`${date}T18:00`, zone),
    })
  }
  return days
}
