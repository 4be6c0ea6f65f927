// The acts against a real HTTP server that gives prepared answers: what is asked, when, and what a person sees.
import { fireEvent, render, screen } from '@testing-library/svelte'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { lanes, zone } from '../../lib/chart/testing.week'
import type { Hold, MovedVisit, OfferWindow, Tried } from '../../lib/contract'
import { TestServer } from '../../lib/testing.server'
import { Following } from './follow.svelte'
import type { Ground } from './ground'
import { Holding } from './holding.svelte'
import { sayMoved } from './moved'
import Offers from './Offers.svelte'
import Places from './Places.svelte'
import Reasons from './Reasons.svelte'
import Trying from './Trying.svelte'

const server = new TestServer()
beforeEach(() => server.start())
afterEach(() => server.stop())
const gives = (body: unknown, status = 200): (() => { status: number; body: unknown }) => () => ({ status, body })

const ground: Ground = {
  branch: 'b',
  zone,
  today: '2026-03-07',
  days: ['2026-03-07', '2026-03-08', '2026-03-09'],
  lanes,
  visits: [{ id: 'v2', jobId: 'j2', crewId: 'a', name: 'Cholla Ln 5, convert' }],
  jobs: [{ id: 'j2', name: 'Cholla Ln 5, no. 2' }],
  leftOut: [{ id: 'j9', name: 'Mesa Ct 1, no. 9' }],
}
const view = { branch_id: 'b', plan_number: 4 }
const job = { job_id: 'j2', job_number: 2, customer_name: 'B. Brook', site_name: 'Cholla Ln 5' }
const moved: MovedVisit = {
  ...job,
  visit_id: 'v2',
  kind: 'convert',
  crew_id: 'c',
  crew_name: 'Crew Cedar',
  crew_name_before: 'Crew Alder',
  crew_id_before: 'a',
  start_before_at: '2026-03-07T16:00:00Z',
  start_at: '2026-03-07T17:30:00Z',
  says: '',
}
const tried: Tried = {
  view,
  fits: true,
  total_before_cents: 100_000,
  heads_before: [
    { head: 'driving', label: 'driving', cents: 1_000 },
    { head: 'paid', label: 'paid time', cents: 50_000 },
  ],
  total_after_cents: 101_240,
  heads_after: [
    { head: 'driving', label: 'driving', cents: 2_240 },
    { head: 'paid', label: 'paid time', cents: 50_000 },
  ],
  delta_cents: 1_240,
  moved: [moved],
  jobs_out: [],
  jobs_in: [],
  late: [],
  limits: [],
  says: '',
}

describe('trying a change', () => {
  const show = (kind: 'visit' | 'job_out'): { ontaken: ReturnType<typeof vi.fn> } => {
    const ontaken = vi.fn()
    const start = { kind, visitId: 'v2', jobId: 'j2', crewId: 'a', day: '2026-03-07' }
    render(Trying, { view, ground, start, ontaken, onleave: vi.fn() })
    return { ontaken }
  }

  it('asks nothing for a visit as it stands, and at once when it is to go elsewhere', async () => {
    server.answers = [gives(tried), gives({ id: 'd', version: 1 }, 201)]
    const { ontaken } = show('visit')
    await new Promise((done) => setTimeout(done, 400))
    expect(server.seen).toHaveLength(0)
    await fireEvent.input(screen.getByLabelText('Begins at'), { target: { value: '10:30' } })
    await screen.findByText(/It fits, \$12.40 more/)
    expect(server.seen[0]?.body).toEqual({
      view,
      change: { kind: 'visit', visit_id: 'v2', crew_id: 'a', day: '2026-03-07', start_at: '2026-03-07T17:30:00.000Z' },
    })
    // Only heads that change are listed, then the sum.
    expect(screen.getAllByRole('row').map((r) => [...r.children].map((c) => c.textContent).join(' '))).toEqual([
      'Cost now → then change',
      'driving $10.00 → $22.40 $12.40 more',
      'in all $1,000.00 → $1,012.40 $12.40 more',
    ])
    screen.getByText(/Sat 7 Mar 9:00 Crew Alder/)
    await fireEvent.click(screen.getByRole('button', { name: 'Take this into a draft' }))
    await vi.waitFor(() => expect(ontaken).toHaveBeenCalled())
    expect(server.seen[1]).toMatchObject({ url: '/api/v1/changes', body: server.seen[0]?.body })
    expect(server.seen[1]?.key).toBeTruthy()
  })

  it('says which limit breaks and whose it is, and lets nobody take that', async () => {
    const limit = { rule: 'overtime', job_id: 'j2', crew_id: 'a', by: 900, unit: 's', text: 'back 15 min after the last overtime' }
    server.answers = [gives({ ...tried, fits: false, limits: [limit], moved: [] })]
    show('job_out')
    await screen.findByText('It does not fit.')
    expect(screen.getByText('Cholla Ln 5, no. 2:').parentElement?.textContent).toContain('back 15 min after the last overtime')
    expect((screen.getByRole('button', { name: 'Take this into a draft' }) as HTMLButtonElement).disabled).toBe(true)
  })
})

describe('a moved visit', () => {
  it('says day and crew once where they stay', () => {
    expect(sayMoved(moved, zone)).toEqual({ act: 'convert', before: 'Sat 7 Mar 9:00 Crew Alder', after: '10:30 Crew Cedar' })
    const { start_at: _, ...gone } = moved
    expect(sayMoved(gone, zone).after).toBe('out of the plan')
    const { start_before_at: __, ...fresh } = moved
    expect(sayMoved({ ...fresh, crew_id_before: 'c' }, zone)).toMatchObject({ before: 'not planned', after: 'Sat 7 Mar 10:30' })
  })
})

describe('places of a held visit', () => {
  const spot = (crew: string, start: string, cents: number): object => ({
    crew_id: crew,
    crew_name: `Crew ${crew}`,
    day: '2026-03-07',
    start_at: `2026-03-07T${start}:00Z`,
    end_at: `2026-03-07T22:00:00Z`,
    delta_cents: cents,
    deltas: [],
  })

  it('is gone through by arrows and tried by Enter', async () => {
    server.answers = [gives({ view, visit_id: 'v2', says: '', items: [spot('a', '16:00', 0), spot('c', '17:30', 1_240)] })]
    const holding = new Holding()
    holding.hold('v2', view)
    const ontry = vi.fn()
    render(Places, { holding, ground, ontry })
    const list = await screen.findByRole('listbox')
    expect(server.seen[0]?.url).toBe('/api/v1/places?branch_id=b&plan_number=4&visit_id=v2')
    await fireEvent.keyDown(list, { key: 'ArrowDown' })
    await fireEvent.keyDown(list, { key: 'ArrowDown' })
    expect(screen.getAllByRole('option').map((o) => o.getAttribute('aria-selected'))).toEqual(['false', 'true'])
    expect(list.getAttribute('aria-activedescendant')).toBe(screen.getAllByRole('option')[1]?.id)
    await fireEvent.keyDown(list, { key: 'Enter' })
    expect(ontry).toHaveBeenCalledWith(1)
    // The first of what has not begun has no stop before it.
    expect(holding.spots[1] && holding.wanted(holding.spots[1])).toMatchObject({ crewId: 'c', after: 'first' })
  })
})

describe('offering a time', () => {
  const window: OfferWindow = {
    from_at: '2026-03-10T14:00:00Z',
    to_at: '2026-03-10T16:00:00Z',
    crew_id: 'a',
    crew_name: 'Crew Alder',
    start_at: '2026-03-10T14:20:00Z',
    delta_cents: 21_200,
    deltas: [],
    stops: [],
    says: '',
  }
  const offers = { ...job, visit_id: 'v', zone, first_day: '2026-03-07', days: 14, windows: [window], holds: 'a part comes', plan_number: 4 }
  const hold: Hold = {
    ...job,
    ...window,
    id: 'h',
    branch_id: 'b',
    visit_id: 'v',
    until_at: new Date(Date.now() + 600_000).toISOString(),
    state: 'held',
    by: 'D',
    created_at: '2026-03-07T14:00:00Z',
    version: 3,
  }

  it('holds a window as it was offered, counts its minutes down, and books the version that was read', async () => {
    server.answers = [gives({ items: [] }), gives(offers), gives(hold, 201), gives({ ...hold, state: 'booked', version: 4 })]
    const onbooked = vi.fn()
    render(Offers, { jobId: 'j2', branch: 'b', onbooked })
    await screen.findByText('Tue, Mar 10, 8:00 am – 10:00 am', { selector: 'b' })
    screen.getByText('$212.00 more')
    screen.getByText('a part comes', { exact: false })
    await fireEvent.click(screen.getByRole('button', { name: /^Hold/ }))
    const left = await screen.findByRole('timer')
    expect(left.textContent).toMatch(/^(10:00|9:5\d)$/)
    expect(server.seen[2]?.body).toEqual({
      job_id: 'j2',
      visit_id: 'v',
      from_at: window.from_at,
      to_at: window.to_at,
      crew_id: 'a',
      start_at: window.start_at,
      minutes: 10,
    })
    await fireEvent.click(screen.getByRole('button', { name: 'Book it' }))
    await screen.findByText('Booked:')
    expect(server.seen[3]).toMatchObject({ url: '/api/v1/holds/h/booking', match: '"v3"' })
    expect(onbooked).toHaveBeenCalled()
  })

  it('says when a held window has run out, and looks again', async () => {
    const over = { ...hold, until_at: new Date(Date.now() - 1_000).toISOString() }
    server.answers = [gives({ items: [over] }), gives(offers)]
    render(Offers, { jobId: 'j2', branch: 'b' })
    await screen.findByText(/The time is up/)
    expect(screen.queryByRole('button', { name: 'Book it' })).toBeNull()
    await fireEvent.click(screen.getByRole('button', { name: 'Look again' }))
    await screen.findByRole('button', { name: /^Hold/ })
  })
})

describe('why a job is left out', () => {
  it('shows each set of reasons and the sentence for the customer', async () => {
    const set = (text: string): object => ({ facts: ['skill'], text, delta_cents: 100 })
    server.answers = [gives({ ...job, view, sets: [set('No licensed person.'), set('No pump.')], says: [], customer_says: 'Not this week.' })]
    render(Reasons, { jobId: 'j2', view })
    await screen.findByText('No licensed person.')
    expect(screen.getAllByRole('listitem')).toHaveLength(2)
    screen.getByText(/“Not this week.”/)
    screen.getByRole('button', { name: 'Copy for the customer' })
  })
})

describe('following a run', () => {
  it('asks again until it has ended where nothing is streamed, and says so once', async () => {
    server.answers = [gives({ id: 'r', state: 'running' }), gives({}, 503), gives({ id: 'r', state: 'done', placed: 3 })]
    const following = new Following()
    const ended = vi.fn()
    vi.stubGlobal('EventSource', undefined)
    following.watch('r', ended)
    await vi.waitFor(() => expect(ended).toHaveBeenCalledOnce(), 4_000)
    expect(following.run?.state).toBe('done')
    await new Promise((done) => setTimeout(done, 800))
    expect(server.seen).toHaveLength(3)
    vi.unstubAllGlobals()
  })
})
