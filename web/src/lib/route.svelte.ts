// What a view shows is in the address: the path names the page, the query its state.
// Links are plain <a href>; follow() turns their clicks into moves without a reload.

/** One address inside the application. */
export interface Address {
  path: string
  query: URLSearchParams
}

function here(): Address {
  return { path: location.pathname, query: new URLSearchParams(location.search) }
}

class Route {
  now = $state.raw<Address>(here())

  constructor() {
    addEventListener('popstate', () => (this.now = here()))
  }

  /** Moves to another address, as a link would. */
  go(href: string): void {
    history.pushState(null, '', href)
    this.now = here()
    scrollTo(0, 0)
  }

  /** Changes parts of the query; null removes one. Replaces the entry in history unless `push` is set. */
  set(parts: Record<string, string | number | null>, push = false): void {
    const query = new URLSearchParams(location.search)
    for (const [name, value] of Object.entries(parts)) {
      if (value === null || value === '') query.delete(name)
      else query.set(name, String(value))
    }
    const text = query.toString()
    const href = location.pathname + (text ? '?' + text : '')
    if (push) history.pushState(null, '', href)
    else history.replaceState(null, '', href)
    this.now = here()
  }

  /** The part of the query with this name, or ''. */
  get(name: string): string {
    return this.now.query.get(name) ?? ''
  }
}

export const route = new Route()

/** Click handler for the whole document: same-origin links move inside the application. */
export function follow(event: MouseEvent): void {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return
  const link = (event.target as Element | null)?.closest?.('a')
  if (!link || link.target || link.hasAttribute('download')) return
  const url = new URL(link.href, location.href)
  if (url.origin !== location.origin || url.pathname.startsWith('/api/')) return
  if (url.pathname === location.pathname && url.search === location.search && url.hash) return
  event.preventDefault()
  route.go(url.pathname + url.search)
}

/** Matches a path like /enquiry/:id; the named parts, or null where it does not fit. */
export function match(pattern: string, path: string): Record<string, string> | null {
  const want = pattern.split('/').filter(Boolean)
  const have = path.split('/').filter(Boolean)
  if (want.length !== have.length) return null
  const parts: Record<string, string> = {}
  for (const [i, w] of want.entries()) {
    const h = have[i] ?? ''
    if (w.startsWith(':')) parts[w.slice(1)] = decodeURIComponent(h)
    else if (w !== h) return null
  }
  return parts
}
