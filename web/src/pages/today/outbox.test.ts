import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { TestServer } from '../../lib/testing.server'
import { Outbox } from './outbox.svelte'

const server = new TestServer()
beforeEach(() => server.start())
afterEach(() => server.stop())

const report = { visit_id: 'v', kind: 'arrived' } as const
const applied = () => {
  const sent = server.seen[server.seen.length - 1]?.body.operations as { id: string }[]
  return { status: 200, body: { items: sent.map((o) => ({ id: o.id, state: 'applied' })) } }
}

describe('reports from the pool', () => {
  it('leave this device once the office has them', async () => {
    server.answers = [applied]
    const box = new Outbox()
    expect(await box.report(report)).toBe(true)
    expect(box.waiting).toEqual([])
    expect(localStorage.getItem('ebbline.unsent')).toBeNull()
  })

  it('stay here without a signal, survive a reload, and go later under the same id', async () => {
    const box = new Outbox()
    globalThis.fetch = (() => Promise.reject(new TypeError('no signal'))) as typeof fetch
    expect(await box.report(report)).toBe(false)
    const id = box.waiting[0]?.id
    await server.stop()
    await server.start()
    server.answers = [applied]
    const after = new Outbox()
    expect(after.waiting.map((o) => o.id)).toEqual([id])
    expect(await after.flush()).toBe(true)
    expect(server.seen[0]?.body.operations[0].id).toBe(id)
  })

  it('stand in for themselves until the day that is shown holds them', async () => {
    server.answers = [applied]
    const box = new Outbox()
    await box.report(report)
    const id = box.sent[0]?.id ?? ''
    expect(box.sent).toHaveLength(1)
    box.seen(new Set(['another']))
    expect(box.sent.map((o) => o.id)).toEqual([id])
    box.seen(new Set([id]))
    expect(box.sent).toEqual([])
  })

  it('say what the office answered to a flagged one', async () => {
    server.answers = [
      () => ({
        status: 200,
        body: {
          items: [
            { id: (server.seen[0]?.body.operations[0] as { id: string }).id, state: 'flagged', says: 'A gate is still open.' },
          ],
        },
      }),
    ]
    const box = new Outbox()
    await box.report(report)
    expect(box.said).toBe('A gate is still open.')
  })

  it('do not hold each other up: one that can’t be taken is named and set aside', async () => {
    const box = new Outbox()
    globalThis.fetch = (() => Promise.reject(new TypeError('no signal'))) as typeof fetch
    await box.report(report)
    await box.report({ visit_id: 'v', kind: 'made_safe' })
    await server.stop()
    await server.start()
    server.answers = [
      () => ({
        status: 422,
        body: { title: 'Not right', status: 422, fields: [{ field: 'operations[1].until', value: '', want: 'an instant' }] },
      }),
      applied,
    ]
    expect(await box.flush()).toBe(false)
    expect(box.wrong).toContain('made safe')
    expect(box.waiting.map((o) => o.kind)).toEqual(['arrived'])
    expect(await box.flush()).toBe(true)
  })
})
