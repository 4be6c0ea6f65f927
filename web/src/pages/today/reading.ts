// Readings as people write them, "7 1/2", in the unit that the step asks for; sent in whole base units.

const perUnit: Record<string, number> = {
  in: 25_400,
  ft: 304_800,
  cm: 10_000,
  m: 1_000_000,
  ppm: 1_000,
  pH: 1_000,
  V: 1_000,
  A: 1_000,
}

/** A number as written by hand: "7", "7.5", "7 1/2", "1/2"; null where it is none. */
export function number(text: string): number | null {
  const found = /^\s*(-?\d+(?:\.\d+)?)?(?:\s*(\d+)\s*\/\s*(\d+))?\s*$/.exec(text)
  if (!found || (found[1] === undefined && found[2] === undefined)) return null
  const whole = found[1] === undefined ? 0 : Number(found[1])
  if (found[2] === undefined) return whole
  if (Number(found[3]) === 0 || !Number.isInteger(whole)) return null
  const part = Number(found[2]) / Number(found[3])
  return whole < 0 ? whole - part : whole + part
}

/** Whole base units of a reading, or null where it is no number or the unit is not known here. */
export function base(text: string, unit: string): number | null {
  const value = number(text)
  const per = perUnit[unit]
  return value === null || per === undefined ? null : Math.round(value * per)
}

/** "0 to 0.1 ppm" of a step's limits; '' where it has none. */
export function limits(low: number | undefined, high: number | undefined, unit: string): string {
  const per = perUnit[unit] ?? 1
  const show = (n: number): string => String(Math.round((n / per) * 1000) / 1000)
  if (low !== undefined && high !== undefined) return `${show(low)} to ${show(high)} ${unit}`
  if (high !== undefined) return `at most ${show(high)} ${unit}`
  if (low !== undefined) return `at least ${show(low)} ${unit}`
  return ''
}

/** Whether what was entered last for a step satisfies it, as the server holds it: a reading inside its limits, no no-go. */
export function satisfied(
  step: { needs: string; low_limit?: number; high_limit?: number },
  done: { text?: string; value?: number } | undefined,
): boolean {
  if (done === undefined || done.text === 'no-go') return false
  if (step.needs !== 'reading') return true
  return done.value !== undefined && !outside(step, done.value)
}

/** Whether a reading lies outside of its step's limits. */
export function outside(step: { low_limit?: number; high_limit?: number }, value: number): boolean {
  return (step.low_limit !== undefined && value < step.low_limit) || (step.high_limit !== undefined && value > step.high_limit)
}
