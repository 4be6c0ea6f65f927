import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { createServer, type IncomingMessage, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { call, get, newKey, onSignedOut, Refusal, send } from './api'

// A real HTTP server on a free port answers here; only the browser's origin is put in front of the paths.
interface Seen {
  method: string
  url: string
  key: string | undefined
  match: string | undefined
}
let seen: Seen[] = []
let answers: ((request: IncomingMessage) => { status: number; body?: unknown; etag?: string })[] = []
let server: Server
const realFetch = globalThis.fetch

beforeEach(async () => {
  seen = []
  answers = []
  server = createServer((request, response) => {
    seen.push({
      method: request.method ?? '',
      url: request.url ?? '',
      key: request.headers['idempotency-key'] as string | undefined,
      match: request.headers['if-match'],
    })
    const answer = answers.shift()?.(request) ?? { status: 500 }
    const headers: Record<string, string> = { 'Content-Type': 'application/json', 'Access-Control-Allow-Origin': '*' }
    headers['Access-Control-Expose-Headers'] = 'ETag'
    if (answer.etag) headers.ETag = answer.etag
    response.writeHead(answer.status, headers)
    response.end(answer.body === undefined ? undefined : JSON.stringify(answer.body))
  })
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
  const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const { fetch: nodeFetch } = await import('./testing.fetch')
  globalThis.fetch = ((path: string, init: RequestInit) => nodeFetch(base + path, init)) as typeof fetch
})
afterEach(async () => {
  globalThis.fetch = realFetch
  await new Promise((done) => server.close(done))
})

describe('the gate', () => {
  it('gives each POST a key of its own, and none to a GET', async () => {
    answers = [() => ({ status: 200, body: {} }), () => ({ status: 200, body: {} }), () => ({ status: 200, body: {} })]
    await call('POST', '/a', { body: {} })
    await call('POST', '/a', { body: {} })
    await get('/a')
    expect(seen[0]?.key).toBeTruthy()
    expect(seen[1]?.key).toBeTruthy()
    expect(seen[0]?.key).not.toBe(seen[1]?.key)
    expect(seen[2]?.key).toBeUndefined()
  })

  it('sends the version that was read, as a number or as the ETag that came', async () => {
    answers = [() => ({ status: 200, body: {}, etag: '"v7"' }), () => ({ status: 200, body: {} }), () => ({ status: 200, body: {} })]
    const first = await send('GET', '/a')
    await call('PUT', '/a', { body: {}, version: first.etag })
    await call('PUT', '/a', { body: {}, version: 8 })
    expect(seen.map((s) => s.match)).toEqual([undefined, '"v7"', '"v8"'])
  })

  it('renews access once, and sends the same act with the same key again', async () => {
    answers = [() => ({ status: 401, body: { title: 'x' } }), () => ({ status: 200, body: {} }), () => ({ status: 201, body: { id: 'made' } })]
    expect(await call<{ id: string }>('POST', '/jobs', { body: {} })).toEqual({ id: 'made' })
    expect(seen.map((s) => s.url)).toEqual(['/api/v1/jobs', '/api/v1/session/refresh', '/api/v1/jobs'])
    expect(seen[2]?.key).toBe(seen[0]?.key)
  })

  it('says that the person is signed out where renewing fails', async () => {
    let out = 0
    onSignedOut(() => out++)
    answers = [() => ({ status: 401, body: { title: 'x' } }), () => ({ status: 401, body: { title: 'x' } })]
    await expect(call('GET', '/jobs')).rejects.toBeInstanceOf(Refusal)
    expect(out).toBe(1)
    expect(seen).toHaveLength(2)
  })

  it('renews once for requests that fail together', async () => {
    const denied = () => ({ status: 401, body: { title: 'x' } })
    const fine = () => ({ status: 200, body: {} })
    answers = [denied, denied, fine, fine, fine]
    await Promise.all([get('/a'), get('/b')])
    expect(seen.filter((s) => s.url.endsWith('/session/refresh'))).toHaveLength(1)
  })

  it('turns problem details into messages by field', async () => {
    answers = [
      () => ({
        status: 422,
        body: { type: 'about:blank', title: 'Not right', status: 422, code: 'invalid', fields: [{ field: 'site.postcode', value: 'x1', want: 'five digits' }] },
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
