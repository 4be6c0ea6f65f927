// A real HTTP server on a free port for tests: it gives prepared answers in turn and notes what came. Only the
// browser's origin is put in front of the paths.
import { createServer, type IncomingMessage, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { fetch as plainFetch } from './testing.fetch'

interface Seen {
  method: string
  url: string
  key: string | undefined
  match: string | undefined
  body: any
}
type Answer = (request: IncomingMessage) => { status: number; body?: unknown; etag?: string }

export class TestServer {
  seen: Seen[] = []
  /** The next answers; 500 where none is left. */
  answers: Answer[] = []
  private server: Server | undefined
  private readonly realFetch = globalThis.fetch

  async start(): Promise<void> {
    this.seen = []
    this.answers = []
    const server = createServer((request, response) => {
      const parts: Buffer[] = []
      request.on('data', (part: Buffer) => parts.push(part))
      request.on('end', () => {
        const text = Buffer.concat(parts).toString()
        this.seen.push({
          method: request.method ?? '',
          url: request.url ?? '',
          key: request.headers['idempotency-key'] as string | undefined,
          match: request.headers['if-match'],
          body: text ? JSON.parse(text) : undefined,
        })
        const answer = this.answers.shift()?.(request) ?? { status: 500 }
        const headers: Record<string, string> = { 'Content-Type': 'application/json' }
        if (answer.etag) headers.ETag = answer.etag
        response.writeHead(answer.status, headers)
        response.end(answer.body === undefined ? undefined : JSON.stringify(answer.body))
      })
    })
    this.server = server
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
    const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
    globalThis.fetch = ((path: string, init: RequestInit) => plainFetch(base + path, init)) as typeof fetch
  }

  async stop(): Promise<void> {
    globalThis.fetch = this.realFetch
    await new Promise((done) => (this.server ? this.server.close(done) : done(undefined)))
  }
}
