// What a change does to a number, in words: more and less, never a bare sign.
import { money } from './format'

/** "$12.40 more", "$3.00 less", "no change" of whole cents. */
export function moreOrLess(cents: number, withCents = true): string {
  if (cents === 0) return 'no change'
  return `${money(Math.abs(cents), withCents)} ${cents > 0 ? 'more' : 'less'}`
}

/** "83 % (±2)" of thousandths with half the width of their 95 % band. */
export function permille(kept: number, margin?: number): string {
  const share = Math.round(kept / 10)
  if (margin === undefined) return `${share} %`
  return `${share} % (±${margin > 0 && margin < 10 ? (margin / 10).toFixed(1) : Math.round(margin / 10)})`
}
