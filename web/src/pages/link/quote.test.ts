import { fireEvent, render, screen } from '@testing-library/svelte'
import { describe, expect, it } from 'vitest'
import type { Quote } from '../../lib/contract'
import QuoteBody, { type Body } from '../enquiry/QuoteBody.svelte'
import { quoteWords } from './words'

const body: Body = {
  company: 'Owl Wash',
  lines: [{ name: 'Conversion of 4 pool lights', cents: 500000 }],
  tax: 41250,
  total: 541250,
  deposit: 160000,
  terms: ['A deposit is due.'],
  options: [
    { estimate_id: 'a', name: 'One zone', says: null, total: 541250, deposit: 160000 },
    { estimate_id: 'b', name: 'Two zones', says: ['$310.00 more than the first'], total: 572250, deposit: 170000 },
  ],
}
const quote = (more: Partial<Body> = {}, state: Quote['state'] = 'sent', estimate_id = 'a'): Quote =>
  ({ id: 'q', number: 3, state, estimate_id, total_cents: 541250, tax_cents: 41250, deposit_cents: 160000, body: { ...body, ...more } }) as unknown as Quote

describe('what the customer reads', () => {
  it('offers each way once and lets one be chosen', async () => {
    render(QuoteBody, { quote: quote(), chosen: 'a', choosing: true, paper: '/paper' })
    const [first, second] = screen.getAllByRole<HTMLInputElement>('radio')
    expect([first?.checked, second?.checked]).toEqual([true, false])
    await fireEvent.click(screen.getByText('Two zones'))
    expect([first?.checked, second?.checked]).toEqual([false, true])
  })
  it('says which way was approved, and offers no choice any more', () => {
    render(QuoteBody, { quote: quote({}, 'approved', 'b'), paper: '/paper' })
    expect(screen.queryAllByRole('radio')).toHaveLength(0)
    expect(screen.getByText('approved').closest('label')?.textContent).toContain('Two zones')
  })
  it('turns to Spanish with the paper, and only where it was kept', async () => {
    const { unmount } = render(QuoteBody, { quote: quote(), paper: '/paper' })
    expect(screen.queryByRole('button', { name: 'Español' })).toBeNull()
    unmount()
    const es = { ...body, words: { price: 'Precio', language: 'es-US' }, terms: ['Se paga un anticipo.'] }
    render(QuoteBody, { quote: quote({ es }), paper: '/paper' })
    await fireEvent.click(screen.getByRole('button', { name: 'Español' }))
    expect(screen.getByText('Precio').closest('[lang]')?.getAttribute('lang')).toBe('es-US')
    expect(screen.getByText('Se paga un anticipo.')).toBeTruthy()
    expect(screen.getByRole('link', { name: 'A4' }).getAttribute('href')).toBe('/paper?size=a4&language=es')
  })
  it('shows a quote from before the words around it were kept', () => {
    render(QuoteBody, { quote: { ...quote(), body: { lines: body.lines } } as unknown as Quote, paper: '/paper' })
    expect(screen.getByText('$5,412.50')).toBeTruthy()
  })
})

describe('the words around it', () => {
  it('have every word in both languages', () => {
    for (const [key, en] of Object.entries(quoteWords('en'))) {
      const es = quoteWords('es')[key as keyof ReturnType<typeof quoteWords>]
      expect(typeof es).toBe(typeof en)
      expect(es).not.toBe(en)
    }
    expect(quoteWords('fr').decline).toBe('Decline')
    expect(quoteWords('es').cancelUntil('2026-03-05')).toContain('jueves, 5 de marzo')
  })
})
