import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { call, get, newKey, onSignedOut, Refusal, send } from './api'
import { TestServer } from './testing.server'

const server = new TestServer()
beforeEach(() => server.start())
afterEach(() => server.stop())

describe('the gate', () => {
  it('gives each POST a key of its own, and none to a GET', async () => {
    server.answers = [() => ({ status: 200, body: {} }), () => ({ status: 200, body: {} }), () => ({ status: 200, body: {} })]
    await call('POST', '/a', { body: {} })
    await call('POST', '/a', { body: {} })
    await get('/a')
    expect(server.seen[0]?.key).toBeTruthy()
    expect(server.seen[1]?.key).toBeTruthy()
    expect(server.seen[0]?.key).not.toBe(server.seen[1]?.key)
    expect(server.seen[2]?.key).toBeUndefined()
  })

  it('sends the version that was read, as a number or as the ETag that came', async () => {
    server.answers = [
      () => ({ status: 200, body: {}, etag: '"v7"' }),
      () => ({ status: 200, body: {} }),
      () => ({ status: 200, body: {} }),
    ]
    const first = await send('GET', '/a')
    await call('PUT', '/a', { body: {}, version: first.etag })
    await call('PUT', '/a', { body: {}, version: 8 })
    expect(server.seen.map((s) => s.match)).toEqual([undefined, '"v7"', '"v8"'])
  })

  it('renews access once, and sends the same act with the same key again', async () => {
    server.answers = [
      () => ({ status: 401, body: { title: 'x' } }),
      () => ({ status: 200, body: {} }),
      () => ({ status: 201, body: { id: 'made' } }),
    ]
    expect(await call<{ id: string }>('POST', '/jobs', { body: {} })).toEqual({ id: 'made' })
    expect(server.seen.map((s) => s.url)).toEqual(['/api/v1/jobs', '/api/v1/session/refresh', '/api/v1/jobs'])
    expect(server.seen[2]?.key).toBe(server.seen[0]?.key)
  })

  it('says that the person is signed out where renewing fails', async () => {
    let out = 0
    onSignedOut(() => out++)
    server.answers = [() => ({ status: 401, body: { title: 'x' } }), () => ({ status: 401, body: { title: 'x' } })]
    await expect(call('GET', '/jobs')).rejects.toBeInstanceOf(Refusal)
    expect(out).toBe(1)
    expect(server.seen).toHaveLength(2)
  })

  it('renews once for requests that fail together', async () => {
    const denied = () => ({ status: 401, body: { title: 'x' } })
    const fine = () => ({ status: 200, body: {} })
    server.answers = [denied, denied, fine, fine, fine]
    await Promise.all([get('/a'), get('/b')])
    expect(server.seen.filter((s) => s.url.endsWith('/session/refresh'))).toHaveLength(1)
  })

  it('turns problem details into messages by field', async () => {
    server.answers = [
      () => ({
        status: 422,
        body: {
          type: 'about:blank',
          title: 'Not right',
          status: 422,
          code: 'invalid',
          fields: [{ field: 'site.postcode', value: 'x1', want: 'five digits' }],
        },
      }),
    ]
    const refusal = await call('POST', '/enquiries', { body: {} }).catch((e: unknown) => e)
    expect(refusal).toBeInstanceOf(Refusal)
    expect((refusal as Refusal).fields).toEqual({ 'site.postcode': 'x1 is not right; want five digits' })
    expect((refusal as Refusal).message).toBe('Not right')
  })

  it('says so where nobody answers', async () => {
    globalThis.fetch = (() => Promise.reject(new TypeError('refused'))) as typeof fetch
    const refusal = (await get('/jobs').catch((e: unknown) => e)) as Refusal
    expect(refusal.status).toBe(0)
    expect(refusal.message).toContain('did not answer')
  })

  it('makes keys of the UUID form (RFC 9562, version 4)', () => {
    expect(newKey()).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/)
  })
})
