// How a value is known, each by one key. The letters are taken only while the choice itself has the focus, so
// that they never meet typing or a reader's own keys (WCAG 2.1.4).
import type { SurveyValue } from '../../lib/contract'

export type Known = SurveyValue['known']

/** The ways of knowing in the order of their weight, with key and short word. */
export const ways: { known: Known; key: string; word: string; said: string }[] = [
  { known: 'told', key: 't', word: 'told', said: 'told' },
  { known: 'read', key: 'r', word: 'read', said: 'read' },
  { known: 'measured_wet', key: 'w', word: 'wet', said: 'measured wet' },
  { known: 'measured_dry', key: 'd', word: 'dry', said: 'measured dry' },
  { known: 'unknown', key: 'n', word: 'not known', said: 'not known' },
]

/** The way that a key stands for; none for other keys and for combinations. */
export function knownBy(event: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'altKey'>): Known | undefined {
  if (event.ctrlKey || event.metaKey || event.altKey) return undefined
  return ways.find((w) => w.key === event.key.toLowerCase())?.known
}

/** A value that somebody could not tell; the server wants to know why. */
export const nobodyKnows = (value: SurveyValue | undefined): SurveyValue => ({
  text: '',
  known: 'unknown',
  note: value?.note || 'asked, nobody could tell',
})

/** Moves on to the entry after the one that holds `from`, opening nothing. */
export function nextEntry(from: Element): void {
  const all = [...document.querySelectorAll<HTMLElement>('[data-entry]')].filter((e) => e.getClientRects().length > 0)
  const own = from.closest('.field')?.querySelector<HTMLElement>('[data-entry]')
  const at = own ? all.indexOf(own) : -1
  const next = all[at + 1]
  next?.focus()
  if (next instanceof HTMLInputElement) next.select()
}
