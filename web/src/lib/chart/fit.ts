// Words in boxes of a known width, without asking the browser: at 11 px a letter is about 6.1 px wide.

const letter = 6.1

/** Pixels that a text needs at the chart's small size. */
export function widthOf(text: string): number {
  return text.length * letter
}

/** The name, or a shorter form that still names the place ("Cholla Ln 5" -> "Cholla 5" -> "Cholla"), or '' where none fits. */
export function fit(name: string, width: number): string {
  if (widthOf(name) <= width) return name
  const words = name.split(' ')
  const first = words[0] ?? ''
  const last = words[words.length - 1] ?? ''
  if (words.length > 2 && widthOf(`${first} ${last}`) <= width) return `${first} ${last}`
  if (words.length > 1 && widthOf(first) <= width) return first
  return ''
}
