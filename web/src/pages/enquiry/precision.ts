// How well a place is known, in words.
const words: Record<string, string> = {
  pin: 'a pin set by hand',
  exact: 'at the house number',
  street: 'somewhere on the street',
  postcode: 'the middle of the ZIP code',
  unknown: 'not known yet',
}

export function precisionWord(code: string | undefined): string {
  return words[code ?? 'unknown'] ?? (code ?? '').replaceAll('_', ' ')
}
