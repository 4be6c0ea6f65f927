// The phone page without a signal. A service worker that keeps the pages themselves and, of the answers, only
// what a tech needs at the pool: who they are, the crew's day, its pools' sheets. It asks the network first, so
// what is kept here is looked at only where nothing answers, and then it says of when it is. Signing out, or a
// sign-in that has run out, empties it. Browsers run such a worker over https and on localhost only.

interface Waits extends Event {
  waitUntil(done: Promise<unknown>): void
}
interface Fetches extends Waits {
  readonly request: Request
  respondWith(answer: Promise<Response>): void
}
interface Worker extends EventTarget {
  skipWaiting(): Promise<void>
  readonly clients: { claim(): Promise<void> }
}
const worker = self as unknown as Worker

const pages = 'ebbline-pages'
const answers = 'ebbline-day'
const longest = 3 * 86_400_000 // ms that an answer is kept
const keptAt = 'X-Kept-At'

const held = /^\/api\/v1\/(session|today|jobs\/[^/]+\/sheet)$/

worker.addEventListener('install', (event) => {
  ;(event as Waits).waitUntil(keepPage().then(() => worker.skipWaiting()))
})
worker.addEventListener('activate', (event) => (event as Waits).waitUntil(worker.clients.claim()))
worker.addEventListener('fetch', (event) => {
  const { request } = event as Fetches
  const url = new URL(request.url)
  if (url.origin !== location.origin) return
  const give = (answer: Promise<Response>): void => (event as Fetches).respondWith(answer)
  if (request.method === 'DELETE' && url.pathname === '/api/v1/session') {
    ;(event as Waits).waitUntil(caches.delete(answers))
  } else if (request.method !== 'GET') {
    return
  } else if (request.mode === 'navigate') {
    give(page(request))
  } else if (url.pathname.startsWith('/assets/')) {
    give(asset(request))
  } else if (held.test(url.pathname)) {
    give(answer(request))
  }
})

/** Keeps the page and the files that it names. */
async function keepPage(): Promise<void> {
  const kept = await caches.open(pages)
  const fresh = await fetch('/', { cache: 'no-cache' })
  if (!fresh.ok) throw new Error(`the page answered ${fresh.status}`)
  const text = await fresh.clone().text()
  const files = [...text.matchAll(/(?:src|href)="(\/[^"]+)"/g)].map((m) => m[1] ?? '')
  const there = new Set((await kept.keys()).map((r) => new URL(r.url).pathname))
  await kept.addAll(files.filter((f) => !there.has(f)))
  await kept.put('/', fresh)
  for (const old of there) if (old !== '/' && !files.includes(old)) await kept.delete(old)
}

/** Any address of ours is the one page; kept anew where its text has changed. */
async function page(request: Request): Promise<Response> {
  const kept = await caches.open(pages)
  try {
    const fresh = await fetch(request)
    const old = await kept.match('/')
    if (fresh.ok && (fresh.headers.get('Content-Type') ?? '').includes('html') && (await old?.text()) !== (await fresh.clone().text())) {
      await keepPage().catch(() => {}) // the signal went meanwhile: the old one stays
    }
    return fresh
  } catch (none) {
    const old = await kept.match('/')
    if (old) return old
    throw none
  }
}

/** Files under assets carry their content's hash in their names and never change. */
async function asset(request: Request): Promise<Response> {
  return (await caches.match(request, { cacheName: pages })) ?? fetch(request)
}

async function answer(request: Request): Promise<Response> {
  try {
    const fresh = await fetch(request)
    if (fresh.status === 401) await caches.delete(answers)
    else if (fresh.ok) await keep(request, fresh.clone())
    return fresh
  } catch (none) {
    const old = await (await caches.open(answers)).match(request, { ignoreVary: true })
    if (old && Date.now() - Date.parse(old.headers.get(keptAt) ?? '') < longest) return old
    throw none
  }
}

async function keep(request: Request, fresh: Response): Promise<void> {
  const kept = await caches.open(answers)
  const headers = new Headers(fresh.headers)
  headers.set(keptAt, new Date().toISOString())
  await kept.put(request, new Response(await fresh.blob(), { status: fresh.status, headers }))
  for (const old of await kept.keys()) {
    const at = Date.parse((await kept.match(old, { ignoreVary: true }))?.headers.get(keptAt) ?? '')
    if (!(Date.now() - at < longest)) await kept.delete(old)
  }
}
