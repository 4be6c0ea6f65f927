// Words in boxes of a known width, without asking the browser: at 11 px a letter is about 6.1 px wide.

const letter = 6.1

/** Pixels that a text needs at the chart's small size. */
export function widthOf(text: string): number {
  return text.length * letter
}

const isNumber = (word: string): boolean => /^\d+\w?$/.test(word)

/**
 * The name, or a shorter form that still names the place, or '' where none fits: "Cholla Ln 5" becomes "Cholla 5" and
 * "Cholla", "12 Lantern Way" becomes "12 Lantern" and "Lantern". A house number alone names nothing.
 */
export function fit(name: string, width: number): string {
  const words = name.split(' ')
  const first = words[0] ?? ''
  const last = words[words.length - 1] ?? ''
  const shorter = isNumber(first)
    ? [`${first} ${words[1] ?? ''}`, words[1] ?? '']
    : [isNumber(last) ? `${first} ${last}` : '', first]
  return [name, ...(words.length > 1 ? shorter : [])].find((form) => form !== '' && widthOf(form) <= width) ?? ''
}
