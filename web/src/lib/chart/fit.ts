// Words in boxes of a known width, without asking the browser: at 11 px a letter is about 6.1 px wide.

const letter = 6.1

/** Pixels that a text needs at the chart's small size. */
export function widthOf(text: string): number {
  return text.length * letter
}

const isNumber = (word: string): boolean => /^\d+\w?$/.test(word)

/**
 * The name, or a shorter form that still names the place, or '' where none fits: "Cholla Ln 5" becomes "Cholla 5" and
 * "Cholla", "657 Dry Lantern Rd" becomes "657 Dry Lantern" and "Dry Lantern". Neither a house number alone nor half a
 * street's name names anything.
 */
export function fit(name: string, width: number): string {
  const words = name.split(' ')
  const first = words[0] ?? ''
  const last = words[words.length - 1] ?? ''
  let shorter: string[] = []
  if (isNumber(first) && words.length > 2) shorter = [words.slice(0, -1).join(' '), words.slice(1, -1).join(' ')]
  else if (words.length > 1 && !isNumber(first)) shorter = [isNumber(last) ? `${first} ${last}` : '', first]
  return [name, ...shorter].find((form) => form !== '' && widthOf(form) <= width) ?? ''
}
