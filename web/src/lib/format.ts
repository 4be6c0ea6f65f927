// Numbers as people here read them. Unknown is never shown as zero.

export const unknown = 'not known yet'

/** "$1,234.56" of whole cents; whole dollars where `cents` is false. */
export function money(cents: number | null | undefined, withCents = true): string {
  if (cents === null || cents === undefined) return unknown
  const sign = cents < 0 ? '−' : ''
  const whole = Math.abs(cents)
  if (!withCents) return `${sign}$${Math.round(whole / 100).toLocaleString('en-US')}`
  return `${sign}$${Math.floor(whole / 100).toLocaleString('en-US')}.${String(whole % 100).padStart(2, '0')}`
}

/** Whole cents of what a person typed, "1,234.5" or "$12"; null where it is no amount of money. */
export function cents(text: string): number | null {
  const found = /^\s*(-?)\$?\s*([\d,]*)(?:\.(\d{1,2}))?\s*$/.exec(text)
  if (!found || (!found[2] && !found[3])) return null
  const value = Number((found[2] ?? '').replaceAll(',', '') || '0') * 100 + Number((found[3] ?? '').padEnd(2, '0') || '0')
  return found[1] ? -value : value
}

/** "1 light", "3 lights" */
export function count(n: number, one: string, many = one + 's'): string {
  return `${n.toLocaleString('en-US')} ${n === 1 ? one : many}`
}

/** "a, b and c" */
export function list(words: string[]): string {
  if (words.length < 2) return words.join('')
  return words.slice(0, -1).join(', ') + ' and ' + words[words.length - 1]
}

/** First letter upper case, underscores as spaces: for codes of the contract that are words. */
export function sentence(code: string): string {
  const text = code.replaceAll('_', ' ')
  return text.charAt(0).toUpperCase() + text.slice(1)
}

/** "73 %" of a share between 0 and 1. */
export function percent(share: number | null | undefined): string {
  if (share === null || share === undefined || Number.isNaN(share)) return unknown
  return `${Math.round(share * 100)} %`
}
