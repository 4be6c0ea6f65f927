// A question to the server whose answer a page shows: waiting, here, or refused. Asking again while one is
// under way drops the older answer.
import { saySo } from './api'

export class Asked<T> {
  value = $state.raw<T | undefined>(undefined)
  wrong = $state('')
  waiting = $state(false)
  private turn = 0

  /** Asks; keeps showing the old answer until the new one is here. */
  async ask(question: () => Promise<T>): Promise<void> {
    const turn = ++this.turn
    this.waiting = true
    this.wrong = ''
    try {
      const value = await question()
      if (turn === this.turn) this.value = value
    } catch (error) {
      if (turn === this.turn) this.wrong = saySo(error)
    } finally {
      if (turn === this.turn) this.waiting = false
    }
  }
}
