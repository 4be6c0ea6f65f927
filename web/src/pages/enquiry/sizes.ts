// A hint for the form only: which sizes fix the area of which shape, so that a round pool is not asked for two
// widths. The server takes and judges whatever is entered.
const sizes: Record<string, string[]> = {
  rectangle: ['length', 'width'],
  oval: ['length', 'width'],
  kidney: ['length', 'width', 'width_2'],
  round: ['diameter'],
  free_form: ['widths', 'width_step'],
  drawn: ['outline'],
  area: ['area'],
}
const all = new Set(Object.values(sizes).flat())

/** Whether the form shows this field of a body of water with this shape ('' is not known yet). */
export function shown(kind: string, field: string, shape: string, filled: boolean): boolean {
  if (kind !== 'body' || !all.has(field) || filled) return true
  return sizes[shape]?.includes(field) ?? false
}
