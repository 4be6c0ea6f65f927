// The one gate to the server. It knows four things and no page knows any of them: every POST carries a key
// that makes sending it twice harmless; a change carries the version that was read; a refusal is an RFC 9457
// problem whose fields belong to inputs; and access that has run out is renewed once before giving up.
import type { Problem } from './contract'

const root = '/api/v1'

/** A refusal by the server, or no answer at all (status 0). */
export class Refusal extends Error {
  readonly fields: Record<string, string>

  constructor(
    readonly status: number,
    readonly problem: Problem,
  ) {
    super(problem.detail || problem.title)
    this.fields = {}
    for (const f of problem.fields ?? []) {
      // Places in lists are written contacts.0.email; a schema may also write contacts[0].email.
      this.fields[f.field.replace(/\[(\d+)\]/g, '.$1')] = f.value
        ? `${f.value} is not right; want ${f.want}`
        : f.want.startsWith('needed')
          ? f.want
          : `want ${f.want}`
    }
  }
}

/** What came back, with the version for the next change. */
export interface Answered<T> {
  body: T
  /** The ETag as it came, or ''. */
  etag: string
}

interface Ask {
  body?: unknown
  /** The version that was read: its number, or the ETag as it came. */
  version?: number | string | undefined
  /** Sent again with the same key, an act happens once. Made fresh where absent. */
  key?: string
  /** Media type of a body that is not JSON. */
  type?: string
  signal?: AbortSignal
}

/** A fresh key for one act. */
export function newKey(): string {
  // randomUUID exists only over https and on localhost; the office may open the page over plain http.
  if (typeof crypto.randomUUID === 'function') return crypto.randomUUID()
  const b = crypto.getRandomValues(new Uint8Array(16))
  b[6] = ((b[6] ?? 0) & 0x0f) | 0x40
  b[8] = ((b[8] ?? 0) & 0x3f) | 0x80
  const hex = [...b].map((n) => n.toString(16).padStart(2, '0')).join('')
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`
}

/** Called once when access can't be renewed any more: the person must sign in again. */
let whenOut: () => void = () => {}
export function onSignedOut(act: () => void): void {
  whenOut = act
}

/** Called with each answer: '' for one of the server, the instant of one that this device kept (src/offline.ts). */
let whenAnswered: (keptAt: string) => void = () => {}
export function onAnswer(act: (keptAt: string) => void): void {
  whenAnswered = act
}

async function raw(method: string, path: string, ask: Ask, key: string | undefined): Promise<Response> {
  const headers: Record<string, string> = { Accept: 'application/json, application/problem+json' }
  let body: BodyInit | undefined
  if (ask.type) {
    headers['Content-Type'] = ask.type
    body = ask.body as BodyInit
  } else if (ask.body !== undefined) {
    headers['Content-Type'] = 'application/json'
    body = JSON.stringify(ask.body)
  }
  if (key) headers['Idempotency-Key'] = key
  if (ask.version !== undefined && ask.version !== '') {
    headers['If-Match'] = typeof ask.version === 'number' ? `"v${ask.version}"` : ask.version
  }
  try {
    const answer = await fetch(root + path, { method, headers, body, signal: ask.signal, credentials: 'same-origin' })
    whenAnswered(answer.headers.get('X-Kept-At') ?? '')
    return answer
  } catch (cause) {
    if (ask.signal?.aborted) throw cause
    throw new Refusal(0, {
      type: 'about:blank',
      title: 'No answer from the server',
      status: 0,
      code: 'no_answer',
      detail: 'The server did not answer. Nothing is lost: look at the connection and try again.',
    })
  }
}

// Several requests that fail at once share one renewal: a refresh token is good for one use only.
let renewing: Promise<boolean> | null = null
function renew(): Promise<boolean> {
  renewing ??= raw('POST', '/session/refresh', { body: {} }, undefined)
    .then((r) => r.ok)
    .catch(() => false)
    .finally(() => (renewing = null))
  return renewing
}

async function problemOf(response: Response): Promise<Problem> {
  try {
    const found = (await response.json()) as Problem
    if (typeof found.title === 'string') return found
  } catch {
    // not JSON: a proxy's page, or nothing at all
  }
  return { type: 'about:blank', title: `The server answered ${response.status}`, status: response.status, code: 'unknown' }
}

/** Sends one request and gives body and version. Throws Refusal. */
export async function send<T>(method: string, path: string, ask: Ask = {}): Promise<Answered<T>> {
  const key = method === 'POST' ? (ask.key ?? newKey()) : undefined
  let response = await raw(method, path, ask, key)
  if (response.status === 401 && !path.startsWith('/session') && !path.startsWith('/links/')) {
    if (await renew()) response = await raw(method, path, ask, key)
    if (response.status === 401) whenOut()
  }
  if (!response.ok) throw new Refusal(response.status, await problemOf(response))
  const type = response.headers.get('Content-Type') ?? ''
  const body = response.status === 204 ? undefined : type.includes('json') ? await response.json() : await response.text()
  return { body: body as T, etag: response.headers.get('ETag') ?? '' }
}

/** Like send, where the version does not matter. */
export async function call<T>(method: string, path: string, ask: Ask = {}): Promise<T> {
  return (await send<T>(method, path, ask)).body
}

/** A GET of JSON with its query; parts that are empty are left out. */
export function get<T>(path: string, query: Record<string, string | number | undefined> = {}, signal?: AbortSignal): Promise<T> {
  const parts = new URLSearchParams()
  for (const [name, value] of Object.entries(query)) {
    if (value !== undefined && value !== '') parts.set(name, String(value))
  }
  const text = parts.toString()
  return call<T>('GET', path + (text ? '?' + text : ''), signal ? { signal } : {})
}

/** All pages of a list, for lists that a person reads whole. */
export async function all<T>(path: string, query: Record<string, string | number | undefined> = {}): Promise<T[]> {
  const items: T[] = []
  let after: string | undefined
  do {
    const page = await get<{ items: T[]; next?: string }>(path, { limit: 200, ...query, after })
    items.push(...page.items)
    after = page.next
  } while (after)
  return items
}

/** The sentence for a person of anything thrown. */
export function saySo(error: unknown): string {
  if (error instanceof Refusal) return error.message
  return error instanceof Error ? error.message : String(error)
}
