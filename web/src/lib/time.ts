// Instants are unix seconds (UTC). Civil days and clock times are shown in a named IANA zone, never in
// the browser's own, and a day is never shown without its weekday.

/** A civil day, "2026-12-09". */
export type Day = string

interface Parts {
  year: number
  month: number
  day: number
  weekday: string
  hour: number
  minute: number
  second: number
}

const formats = new Map<string, Intl.DateTimeFormat>()

function formatFor(zone: string): Intl.DateTimeFormat {
  let format = formats.get(zone)
  if (!format) {
    format = new Intl.DateTimeFormat('en-US', {
      timeZone: zone,
      hourCycle: 'h23',
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      weekday: 'short',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    })
    formats.set(zone, format)
  }
  return format
}

/** The wall clock of an instant in a zone. */
export function civil(at: number, zone: string): Parts {
  const found: Record<string, string> = {}
  for (const part of formatFor(zone).formatToParts(at * 1000)) found[part.type] = part.value
  return {
    year: Number(found.year),
    month: Number(found.month),
    day: Number(found.day),
    weekday: found.weekday ?? '',
    hour: Number(found.hour),
    minute: Number(found.minute),
    second: Number(found.second),
  }
}

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
const weekdays = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat']
const two = (n: number): string => String(n).padStart(2, '0')

/** The civil day of an instant. */
export function dayOf(at: number, zone: string): Day {
  const c = civil(at, zone)
  return `${c.year}-${two(c.month)}-${two(c.day)}`
}

/** "14:05" */
export function clock(at: number, zone: string): string {
  const c = civil(at, zone)
  return `${c.hour}:${two(c.minute)}`
}

/** "Wed 9 Dec" */
export function shortDay(at: number, zone: string): string {
  const c = civil(at, zone)
  return `${c.weekday} ${c.day} ${months[c.month - 1]}`
}

/** "Wed 9 Dec 14:05" */
export function dayClock(at: number, zone: string): string {
  return `${shortDay(at, zone)} ${clock(at, zone)}`
}

/** "Wed 14:05": for moments of the week on screen. */
export function weekClock(at: number, zone: string): string {
  return `${civil(at, zone).weekday} ${clock(at, zone)}`
}

/** "Wed 9 Dec 8:20–13:10", or both days where the span crosses midnight. */
export function span(from: number, to: number, zone: string): string {
  if (dayOf(from, zone) === dayOf(to, zone)) return `${dayClock(from, zone)}–${clock(to, zone)}`
  return `${dayClock(from, zone)} – ${dayClock(to, zone)}`
}

/** "Wed, Dec 9, 8:20 am" as customers here write it, and as their messages say it. */
export function customerTime(at: number, zone: string): string {
  const c = civil(at, zone)
  return `${c.weekday}, ${months[c.month - 1]} ${c.day}, ${twelve(c)}`
}

/** "Wed, Dec 9, 8:00 am – 10:00 am", or both days where the span crosses midnight. */
export function customerSpan(from: number, to: number, zone: string): string {
  if (dayOf(from, zone) === dayOf(to, zone)) return `${customerTime(from, zone)} – ${twelve(civil(to, zone))}`
  return `${customerTime(from, zone)} – ${customerTime(to, zone)}`
}

function twelve(c: Parts): string {
  return `${c.hour % 12 || 12}:${two(c.minute)} ${c.hour < 12 ? 'am' : 'pm'}`
}

/** "Wed 9 Dec" of a civil day, needing no zone; with the year where it is not `year`. */
export function sayDay(day: Day, year?: number): string {
  const [y, m, d] = day.split('-').map(Number)
  if (!y || !m || !d) return day
  const weekday = weekdays[new Date(Date.UTC(y, m - 1, d)).getUTCDay()]
  const text = `${weekday} ${d} ${months[m - 1]}`
  return year !== undefined && year !== y ? `${text} ${y}` : text
}

/** The civil day n days after. */
export function addDays(day: Day, n: number): Day {
  const [y, m, d] = day.split('-').map(Number)
  return new Date(Date.UTC(y ?? 0, (m ?? 1) - 1, (d ?? 1) + n)).toISOString().slice(0, 10)
}

/** The Monday of a civil day's week (ISO 8601 weeks begin on Monday). */
export function monday(day: Day): Day {
  const [y, m, d] = day.split('-').map(Number)
  const weekday = new Date(Date.UTC(y ?? 0, (m ?? 1) - 1, d ?? 1)).getUTCDay()
  return addDays(day, -((weekday + 6) % 7))
}

/** Seconds that a zone's clock is ahead of UTC at an instant. */
function offset(at: number, zone: string): number {
  const c = civil(at, zone)
  return Date.UTC(c.year, c.month - 1, c.day, c.hour, c.minute, c.second) / 1000 - at
}

/**
 * The instant of a wall-clock time "2026-03-08T02:30" in a zone. As RFC 5545 section 3.3.5 has it: a time
 * that occurs twice is its first occurrence, a time that is skipped takes the offset before the gap.
 */
export function instant(local: string, zone: string): number {
  const wall = Date.parse((local.length === 10 ? local + 'T00:00' : local) + 'Z') / 1000
  if (Number.isNaN(wall)) throw new RangeError(`"${local}" is not a date and time like 2026-12-09T08:30`)
  // Both offsets that can matter lie within a day of the answer.
  const before = offset(wall - 86_400, zone)
  const after = offset(wall + 86_400, zone)
  const first = wall - before
  if (offset(first, zone) === before) return first
  const second = wall - after
  return offset(second, zone) === after ? second : first
}

/** What an <input type="datetime-local"> shows of an instant. */
export function localInput(at: number, zone: string): string {
  const c = civil(at, zone)
  return `${c.year}-${two(c.month)}-${two(c.day)}T${two(c.hour)}:${two(c.minute)}`
}

/** "2 h 20 min", "35 min", "3 days 4 h" of a number of seconds. */
export function lasting(seconds: number): string {
  const minutes = Math.round(Math.abs(seconds) / 60)
  const days = Math.floor(minutes / 1440)
  const hours = Math.floor((minutes % 1440) / 60)
  const rest = minutes % 60
  const said: string[] = []
  if (days) said.push(`${days} ${days === 1 ? 'day' : 'days'}`)
  if (hours) said.push(`${hours} h`)
  if (rest && !days) said.push(`${rest} min`)
  return said.join(' ') || '0 min'
}
