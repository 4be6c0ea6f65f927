// What the forms of this page share.
import type { components } from '../../lib/api.gen'

type S = components['schemas']
export type Person = S['Person']
export type Crew = S['Crew']
export type Pump = S['Pump']
export type Home = S['Home']
export type Shift = S['Shift']
export type User = S['User']
export type Settings = S['Settings']
export type LearnedTime = S['LearnedTime']

export const skills = ['survey', 'pull', 'licensed', 'water', 'dig'] as const
export type Skill = (typeof skills)[number]
export const skillWords: Record<Skill, string> = {
  survey: 'surveys',
  pull: 'pulls cords',
  licensed: 'licensed electrician',
  water: 'drains and fills',
  dig: 'digs',
}

/** Names of the days as the contract numbers them: 0 is Sunday. */
export const weekdays = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday']
/** The order in which people read a week. */
export const weekOrder = [1, 2, 3, 4, 5, 6, 0]

/** "Mon to Fri 07:00–16:00, Sat 08:00–12:00" of a crew's shifts. */
export function shiftsText(shifts: Shift[], clock: (minute: number) => string): string {
  const of = (day: number): string =>
    shifts
      .filter((s) => s.weekday === day)
      .map((s) => `${clock(s.from_minute)}–${clock(s.to_minute)}${s.overtime_minutes ? ` +${s.overtime_minutes} min` : ''}`)
      .join(' and ')
  const parts: { from: number; to: number; text: string }[] = []
  weekOrder.forEach((day, i) => {
    const text = of(day)
    const last = parts[parts.length - 1]
    if (!text) return
    if (last && last.text === text && last.to === i - 1) last.to = i
    else parts.push({ from: i, to: i, text })
  })
  const name = (i: number): string => (weekdays[weekOrder[i] ?? 0] ?? '').slice(0, 3)
  if (parts.length === 0) return 'no hours'
  return parts.map((p) => `${name(p.from)}${p.to > p.from ? ` to ${name(p.to)}` : ''} ${p.text}`).join(', ')
}

/** Ten-millionths of a degree of "33.4512"; undefined where it is no number of that range. */
export function e7(text: string, most: number): number | undefined {
  const value = Number(text.trim())
  return text.trim() === '' || !Number.isFinite(value) || Math.abs(value) > most ? undefined : Math.round(value * 1e7)
}

const gallon = 3785.411784 // ml; NIST Handbook 44, appendix C

/** Whole millilitres a second of gallons a minute. */
export const fromGpm = (gpm: number): number => Math.round((gpm * gallon) / 60)
/** Gallons a minute, to a tenth, of millilitres a second. */
export const toGpm = (mlPerS: number): number => Math.round((mlPerS * 600) / gallon) / 10
