// Follows a planning run in the background until it has ended. Its events are streamed (WHATWG HTML, 9.2); where
// the stream does not come through, asking again is enough: the run's row is the truth, and a page that was closed
// and opened again goes on where it was.
import { get } from '../../lib/api'
import type { PlanRun } from '../../lib/contract'

export const running = (run: PlanRun | undefined): boolean => run?.state === 'waiting' || run?.state === 'running'

export class Following {
  run = $state.raw<PlanRun | undefined>(undefined)
  private timer: ReturnType<typeof setTimeout> | undefined
  private stream: EventSource | undefined
  private ended: ((run: PlanRun) => void) | undefined

  /** Watches the run; `ended` is called once when it has come to its end while being watched. */
  watch(id: string, ended: (run: PlanRun) => void): void {
    this.leave()
    if (this.run?.id !== id) this.run = undefined
    this.ended = ended
    if (typeof EventSource === 'undefined') return void this.look(id)
    const stream = new EventSource(`/api/v1/plan-runs/${id}/events`)
    this.stream = stream
    stream.addEventListener('run', (event) => this.take(JSON.parse((event as MessageEvent<string>).data) as PlanRun))
    // Closed by the server, or not let in: the browser would only try the same again.
    stream.onerror = () => {
      stream.close()
      if (this.stream === stream) void this.look(id)
    }
  }

  /** Stops looking; the run itself goes on. */
  leave(): void {
    clearTimeout(this.timer)
    this.stream?.close()
    this.stream = this.ended = undefined
  }

  private async look(id: string): Promise<void> {
    const ended = this.ended
    try {
      const run = await get<PlanRun>(`/plan-runs/${id}`)
      if (ended === this.ended) this.take(run)
    } catch {
      // No answer for once: the next look tells.
    }
    if (ended && ended === this.ended) this.timer = setTimeout(() => void this.look(id), 700)
  }

  private take(run: PlanRun): void {
    this.run = run
    const ended = this.ended
    if (running(run) || !ended) return
    this.leave()
    ended(run)
  }
}
