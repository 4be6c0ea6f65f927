// Node's own client under the name fetch, for tests that talk to a real server from inside the page's
// environment (whose fetch would obey a browser's rules on origins).
import { request } from 'node:http'

/** The part of fetch that the gate uses. */
export function fetch(url: string, init: RequestInit = {}): Promise<Response> {
  return new Promise((resolve, reject) => {
    const asked = request(url, { method: init.method, headers: init.headers as Record<string, string> }, (answer) => {
      const parts: Buffer[] = []
      answer.on('data', (part: Buffer) => parts.push(part))
      answer.on('end', () => {
        const headers = Object.fromEntries(Object.entries(answer.headers).map(([k, v]) => [k, String(v)]))
        const status = answer.statusCode ?? 0
        resolve(new Response(status === 204 ? null : Buffer.concat(parts).toString(), { status, headers }))
      })
    })
    asked.on('error', reject)
    if (init.body) asked.write(init.body as string)
    asked.end()
  })
}
