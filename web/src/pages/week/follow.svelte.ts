// Follows a planning run in the background until it has ended. Asking again is enough here: the run's row is
// the truth, and a page that was closed and opened again goes on where it was.
import { get } from '../../lib/api'
import type { PlanRun } from '../../lib/contract'

export const running = (run: PlanRun | undefined): boolean => run?.state === 'waiting' || run?.state === 'running'

export class Following {
  run = $state.raw<PlanRun | undefined>(undefined)
  private timer: ReturnType<typeof setTimeout> | undefined

  /** Watches the run; `ended` is called once when it has come to its end while being watched. */
  watch(id: string, ended: (run: PlanRun) => void): void {
    this.leave()
    const look = async (): Promise<void> => {
      try {
        this.run = await get<PlanRun>(`/plan-runs/${id}`)
      } catch {
        // No answer for once: the next look tells.
      }
      if (this.run?.id === id && !running(this.run)) ended(this.run)
      else this.timer = setTimeout(look, 700)
    }
    void look()
  }

  /** Stops looking; the run itself goes on. */
  leave(): void {
    clearTimeout(this.timer)
  }
}
