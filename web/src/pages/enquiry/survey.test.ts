import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { TestServer } from '../../lib/testing.server'
import { SurveyDraft } from './survey.svelte'

const server = new TestServer()
beforeEach(() => server.start())
afterEach(() => server.stop())

const site = (version: number, values: Record<string, unknown> = {}) => ({
  site_id: 's',
  version,
  missing: [],
  survey: { version: 1, zone: 'America/Phoenix', subjects: [{ id: 'pool', kind: 'body', name: 'Pool', values }] },
})

async function opened(): Promise<SurveyDraft> {
  server.answers = [
    () => ({ status: 200, body: site(3, { length: { text: '28', unit: 'ft', base: 8_534_400, known: 'told' } }) }),
  ]
  const draft = new SurveyDraft('s', () => {})
  await draft.read()
  return draft
}

describe('a survey while it is filled in', () => {
  it('sends what was entered with the version it was read at, and no derived base', async () => {
    const draft = await opened()
    server.answers = [() => ({ status: 200, body: site(4) })]
    const pool = draft.subjects[0]
    if (!pool) throw new Error('no pool')
    draft.set(pool, 'width', { text: '12', unit: 'ft', known: 'read' })
    await draft.keep()
    const put = server.seen[1]
    expect(put?.match).toBe('"v3"')
    expect(put?.body.subjects[0].values).toEqual({
      length: { text: '28', unit: 'ft', known: 'told' },
      width: { text: '12', unit: 'ft', known: 'read' },
    })
    expect(draft.state).toBe('kept')
  })

  it('keeps all other values when one is refused, and says which', async () => {
    const draft = await opened()
    server.answers = [
      () => ({
        status: 422,
        body: {
          title: 'Not right',
          status: 422,
          fields: [{ field: 'pool.width', value: '-3 ft', want: 'between 1 ft and 300 ft' }],
        },
      }),
      () => ({ status: 200, body: site(4) }),
    ]
    const pool = draft.subjects[0]
    if (!pool) throw new Error('no pool')
    draft.set(pool, 'width', { text: '-3', unit: 'ft', known: 'told' })
    draft.set(pool, 'finish', { text: 'plaster', known: 'told' })
    await draft.keep()
    expect(Object.keys(server.seen[2]?.body.subjects[0].values)).toEqual(['length', 'finish'])
    expect(draft.wrong).toEqual({ 'pool.width': '-3 ft is not right; want between 1 ft and 300 ft' })
    expect(pool.values.width?.text).toBe('-3')
    expect(draft.state).toBe('changed')
  })

  it('sends what is changed during a sending after it, never beside it', async () => {
    const draft = await opened()
    const pool = draft.subjects[0]
    if (!pool) throw new Error('no pool')
    server.answers = [() => ({ status: 200, body: site(4) }), () => ({ status: 200, body: site(5) })]
    draft.set(pool, 'width', { text: '12', unit: 'ft', known: 'read' })
    const first = draft.keep()
    draft.set(pool, 'finish', { text: 'plaster', known: 'told' })
    await Promise.all([first, draft.keep()])
    expect(server.seen.slice(1).map((put) => put.match)).toEqual(['"v3"', '"v4"'])
    expect(Object.keys(server.seen[2]?.body.subjects[0].values)).toEqual(['length', 'width', 'finish'])
    expect(draft.state).toBe('kept')
  })

  it('joins what somebody else wrote meanwhile, value by value', async () => {
    const draft = await opened()
    server.answers = [
      () => ({ status: 412, body: { title: 'Old', status: 412 } }),
      () => ({ status: 200, body: site(9, { length: { text: '30', unit: 'ft', known: 'measured_dry' }, finish: { text: 'tile', known: 'read' } }) }),
      () => ({ status: 200, body: site(10) }),
      () => ({ status: 200, body: site(11) }),
    ]
    const pool = () => draft.subjects[0]!
    draft.set(pool(), 'width', { text: '12', unit: 'ft', known: 'read' })
    draft.set(pool(), 'length', { text: '29', unit: 'ft', known: 'told' })
    await draft.keep()
    expect(pool().values.finish?.text).toBe('tile')
    expect(pool().values.width?.text).toBe('12')
    expect(pool().values.length?.text).toBe('30')
    await vi.waitFor(() => expect(server.seen[3]?.match).toBe('"v9"'))
    expect(Object.keys(server.seen[3]?.body.subjects[0].values).sort()).toEqual(['finish', 'length', 'width'])
    expect(draft.clashes.map((c) => [c.field, c.mine?.text, c.theirs?.text])).toEqual([['length', '29', '30']])
    draft.settle(draft.clashes[0]!, true)
    expect(pool().values.length?.text).toBe('29')
    expect(draft.clashes).toEqual([])
    await draft.leave()
    expect(draft.state).toBe('kept')
  })

  it('holds in the browser what the server did not take, and takes it up again', async () => {
    const first = await opened()
    const away = () => ({ status: 503, body: { title: 'Away', status: 503 } })
    server.answers = [away, away]
    first.set(first.subjects[0]!, 'width', { text: '12', unit: 'ft', known: 'read' })
    await first.keep()
    expect(first.away).toBe(true)
    expect(first.unsaved).toBe(1)
    await first.leave()
    const second = await opened()
    expect(second.subjects[0]?.values.width?.text).toBe('12')
    expect(second.subjects[0]?.values.length?.text).toBe('28')
    server.answers = [() => ({ status: 200, body: site(4, { length: { text: '28', unit: 'ft', known: 'told' }, width: { text: '12', unit: 'ft', base: 3_657_600, known: 'read' } }) })]
    await second.keep()
    expect(second.state).toBe('kept')
    expect(second.subjects[0]?.values.width?.base).toBe(3_657_600)
    expect(localStorage.length).toBe(0)
  })

  it('gives new things short ids of their own and lets go of ends that are taken out', async () => {
    const draft = await opened()
    server.answers = [() => ({ status: 200, body: site(4) })]
    const light = draft.add('position', 'pool')
    const conduit = draft.add('conduit')
    conduit.ends = [light.id]
    draft.subjects = [...draft.subjects]
    expect(draft.add('position').id).toBe('position-2')
    draft.remove(light.id)
    expect(draft.of('conduit')[0]?.ends).toEqual([])
    await vi.waitFor(() => expect(draft.state).toBe('kept'))
  })
})
