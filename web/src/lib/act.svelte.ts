// One act of a person that the server carries out: busy while it runs, the refusal where there is one, its
// fields for the inputs, and a key that stays the same until it succeeds or the person changes something:
// a second press after a lost answer is then the same act.
import { newKey, Refusal, saySo } from './api'
import { say } from './say.svelte'

export class Act {
  busy = $state(false)
  wrong = $state('')
  fields = $state.raw<Record<string, string>>({})
  private key = newKey()

  /** Runs the act with its key; true where it was done. `done` is announced. */
  async run(work: (key: string) => Promise<void>, done = ''): Promise<boolean> {
    if (this.busy) return false
    this.busy = true
    this.wrong = ''
    this.fields = {}
    try {
      await work(this.key)
      this.key = newKey()
      if (done) say(done)
      return true
    } catch (error) {
      this.wrong = saySo(error)
      if (error instanceof Refusal) {
        this.fields = error.fields
        // Only where nobody answered may the act have happened: then the same key must go again.
        if (error.status !== 0 && error.status < 500) this.key = newKey()
      }
      say(this.wrong)
      return false
    } finally {
      this.busy = false
    }
  }
}
