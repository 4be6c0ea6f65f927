// Reports from the pool on their way to the office. Each has its own id, made here, so that sending it twice
// changes nothing. What could not be sent stays on this device, is counted on the page, and goes as soon as
// there is a signal again; a reload does not lose it.
import { call, newKey, Refusal, saySo } from '../../lib/api'
import type { FieldBatchOutcome, FieldOperation } from '../../lib/contract'

const store = 'ebbline.unsent'

function kept(): FieldOperation[] {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(store) ?? '[]')
    return Array.isArray(found) ? (found as FieldOperation[]) : []
  } catch {
    return []
  }
}

export type Report = Omit<FieldOperation, 'id' | 'at'>

export class Outbox {
  waiting = $state.raw<FieldOperation[]>(kept())
  /** Taken by the office, but not yet in the day that this page shows: else a step would look undone for a moment. */
  sent = $state.raw<FieldOperation[]>([])
  /** What the office's program said to the last reports, where it was more than "applied". */
  said = $state('')
  wrong = $state('')
  sending = $state(false)

  /** Keeps a report here, then tries to send all. True where nothing is left to send. */
  async report(what: Report): Promise<boolean> {
    this.keep([...this.waiting, { ...what, id: newKey(), at: new Date().toISOString() }])
    return this.flush()
  }

  async flush(): Promise<boolean> {
    if (this.sending || this.waiting.length === 0) return this.waiting.length === 0
    this.sending = true
    this.wrong = this.said = ''
    const batch = this.waiting
    try {
      const outcome = await call<FieldBatchOutcome>('POST', '/field-operations', { body: { operations: batch } })
      const refused = outcome.items.filter((o) => o.state === 'refused' || o.state === 'flagged')
      this.said = refused.map((o) => o.says ?? o.state).join(' ')
      const done = new Set(outcome.items.map((o) => o.id))
      const refusedIds = new Set(outcome.items.filter((o) => o.state === 'refused').map((o) => o.id))
      this.sent = [...this.sent, ...batch.filter((o) => done.has(o.id) && !refusedIds.has(o.id))]
      this.keep(this.waiting.filter((o) => !done.has(o.id)))
    } catch (error) {
      this.wrong = saySo(error)
      // A report that the server can't accept must not hold up the others: it is named and set aside.
      const named =
        error instanceof Refusal ? Object.keys(error.fields).map((f) => Number(/^operations\.(\d+)/.exec(f)?.[1] ?? NaN)) : []
      const bad = new Set(named.map((i) => batch[i]?.id).filter(Boolean))
      if (bad.size > 0) {
        this.wrong = `${this.wrong} Not taken: ${batch
          .filter((o) => bad.has(o.id))
          .map((o) => o.kind.replaceAll('_', ' '))
          .join(', ')}. Enter it again.`
        this.keep(this.waiting.filter((o) => !bad.has(o.id)))
      }
    } finally {
      this.sending = false
    }
    // Something was entered while this was under way.
    if (!this.wrong && this.waiting.some((o) => !batch.includes(o))) return this.flush()
    return this.waiting.length === 0
  }

  /** The day was read anew: reports that it holds now need no standing in for. */
  seen(ids: Set<string>): void {
    this.sent = this.sent.filter((o) => !ids.has(o.id))
  }

  private keep(list: FieldOperation[]): void {
    this.waiting = list
    if (list.length) localStorage.setItem(store, JSON.stringify(list))
    else localStorage.removeItem(store)
  }
}
