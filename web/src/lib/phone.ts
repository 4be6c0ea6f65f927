// Telephone numbers are kept in the international form without blanks (E.164); people read groups.

/** "+1 559 555 0123" of "+15595550123"; other countries' numbers as they are. */
export function phoneText(number: string): string {
  const found = /^\+1(\d{3})(\d{3})(\d{4})$/.exec(number)
  return found ? `+1 ${found[1]} ${found[2]} ${found[3]}` : number
}
