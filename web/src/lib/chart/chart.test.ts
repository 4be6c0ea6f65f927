import { fireEvent, render, screen } from '@testing-library/svelte'
import { describe, expect, it, vi } from 'vitest'
import { fit } from './fit'
import { sayLimits } from './limits'
import { days, lanes, strips, zone } from './testing.week'
import { step } from './walk'
import WeekChart from './WeekChart.svelte'

function show(selected = '') {
  const heard = { onselect: vi.fn(), onzoom: vi.fn(), onopen: vi.fn() }
  const shown = render(WeekChart, { days, zone, lanes, strips, selected, ...heard })
  return { ...heard, ...shown }
}
const stop = (name: RegExp): HTMLElement => screen.getByRole('button', { name })

describe('moving among stops', () => {
  it('goes along the days of one crew and stays at its ends', () => {
    expect(step(lanes, 'v1', 'right')).toBe('v2')
    expect(step(lanes, 'v2', 'right')).toBe('v3')
    expect(step(lanes, 'v3', 'right')).toBe('v3')
    expect(step(lanes, 'v1', 'left')).toBe('v1')
    expect(step(lanes, 'v2', 'first')).toBe('v1')
    expect(step(lanes, 'v1', 'last')).toBe('v3')
  })
  it('goes down past a crew without stops to whoever is busy nearest in time', () => {
    expect(step(lanes, 'v3', 'down')).toBe('v4')
    expect(step(lanes, 'v4', 'up')).toBe('v3')
    expect(step(lanes, 'v4', 'down')).toBe('v4')
  })
  it('begins at the first stop where it is not told where it stands', () => {
    expect(step(lanes, '', 'right')).toBe('v1')
  })
})

describe('a stop’s limits', () => {
  it.each([
    [{ slack: null, binds: '' }, ''],
    [{ slack: 59, binds: '' }, 'can’t slip'],
    [{ slack: 4_800, binds: 'water surely low' }, 'can slip 1 h 20 min · not earlier: water surely low'],
    [{ slack: null, binds: 'lunch' }, 'not earlier: lunch'],
    [{ slack: 59, binds: '', straight: true }, 'can’t slip · drive by straight line'],
  ])('says %o as "%s"', (limits, said) => {
    expect(sayLimits(limits)).toBe(said)
  })
})

describe('the week’s chart', () => {
  it('says of each stop what, where, when and who', () => {
    show()
    expect(stop(/drain.*Sat 7 Mar 8:00–8:40, Crew Alder/).getAttribute('aria-label')).toContain('Ledge Rd 14')
  })

  it('lets Tab reach one stop only', () => {
    show()
    const reached = screen.getAllByRole('button', { name: /Crew/ }).filter((b) => b.tabIndex === 0)
    expect(reached).toHaveLength(1)
  })

  it('selects the job of the stop that an arrow moves to, and moves the focus there', async () => {
    const { onselect } = show()
    stop(/^Ledge Rd 14.*drain/).focus()
    await fireEvent.keyDown(document.activeElement as Element, { key: 'ArrowRight' })
    expect(onselect).toHaveBeenCalledWith('j2')
    await vi.waitFor(() => expect((document.activeElement as HTMLElement).id).toBe('stop-v2'))
  })

  it('zooms at the stop that has the focus, and opens it', async () => {
    const { onzoom, onopen } = show()
    const v2 = stop(/convert.*9:00–12:00/)
    v2.focus()
    await fireEvent.keyDown(v2, { key: '+' })
    expect(onzoom).toHaveBeenCalledWith('days', expect.closeTo((lanes[0]?.days[0]?.stops[1]?.start ?? 0) + 5_400, 0))
    await fireEvent.keyDown(v2, { key: 'Enter' })
    expect(onopen).toHaveBeenCalledWith('j2')
  })

  it('lights the whole chain of the selected job and draws a line through each of its stops', () => {
    const { container } = show('j1')
    expect(container.querySelectorAll('.stop.lit')).toHaveLength(3)
    expect(container.querySelectorAll('.upright .chain')).toHaveLength(3)
    expect(container.querySelectorAll('.water.lit')).toHaveLength(1)
  })

  it('writes the limit where it binds, for the lit pool', () => {
    const { container } = show('j1')
    expect(container.querySelector('.limittext')?.textContent).toBe('covered by Mon 18:00 at the latest')
  })

  it('selects a pool from its name', async () => {
    const { onselect } = show()
    await fireEvent.click(screen.getByRole('button', { name: /^Cholla Ln 5 no. 2/ }))
    expect(onselect).toHaveBeenCalledWith('j2')
  })
})

describe('names in narrow boxes', () => {
  it('shortens to what still names the place, never to half a word', () => {
    expect(fit('Cholla Ln 5', 200)).toBe('Cholla Ln 5')
    expect(fit('Cholla Ln 5', 55)).toBe('Cholla 5')
    expect(fit('Cholla Ln 5', 40)).toBe('Cholla')
    expect(fit('Cholla Ln 5', 20)).toBe('')
    expect(fit('12 Lantern Way', 70)).toBe('12 Lantern')
    expect(fit('12 Lantern Way', 45)).toBe('Lantern')
    expect(fit('12 Lantern Way', 14)).toBe('')
    expect(fit('657 Dry Lantern Rd', 100)).toBe('657 Dry Lantern')
    expect(fit('657 Dry Lantern Rd', 80)).toBe('Dry Lantern')
    expect(fit('657 Dry Lantern Rd', 40)).toBe('')
  })
})
