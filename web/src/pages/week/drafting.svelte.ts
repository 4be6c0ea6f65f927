// What is done with drafts: open one, plan it, stop, drop it; and the run that goes on meanwhile.
import { call } from '../../lib/api'
import { Act } from '../../lib/act.svelte'
import type { Draft, PlanRun } from '../../lib/contract'
import { count } from '../../lib/format'
import { route } from '../../lib/route.svelte'
import { say } from '../../lib/say.svelte'
import { Following, running } from './follow.svelte'
import type { Shown } from './shown.svelte'

export class Drafting {
  readonly act = new Act()
  readonly following = new Following()
  /** Thousandths that each promise is wanted to be kept; 0 is at least cost. */
  keep = $state(0)

  constructor(private readonly shown: Shown) {}

  get live(): boolean {
    return running(this.following.run)
  }

  /** A run that was under way when the page was opened is followed on. */
  follow(): void {
    $effect(() => {
      const draft = this.shown.draft
      if (draft?.run_id && draft.state === 'planning' && draft.run_id !== this.following.run?.id) this.watch(draft.run_id)
    })
    $effect(() => () => this.following.leave())
  }

  watch(runId: string): void {
    this.following.watch(runId, (run) => {
      if (run.state === 'failed') say(`Planning failed: ${run.error ?? 'no reason given'}`)
      else say(`Planned: ${count(run.placed ?? 0, 'job')} placed, ${run.left_out ?? 0} left out`)
      void this.shown.readDrafts()
      void this.shown.readWeek()
    })
  }

  private async start(draftId: string, key: string): Promise<void> {
    const body = this.keep ? { keep_permille: this.keep } : {}
    const run = await call<PlanRun>('POST', `/drafts/${draftId}/runs`, { body, key })
    this.watch(run.id)
    this.following.run = run
  }

  open(): void {
    const { branch, first, daysAsked } = this.shown
    void this.act.run(async (key) => {
      const made = await call<Draft>('POST', '/drafts', { body: { branch_id: branch, first_day: first, days: daysAsked }, key })
      await this.start(made.id, key + '-run')
      route.set({ draft: made.id, ask: null }, true)
      await this.shown.readDrafts()
    }, 'A draft was opened; planning it')
  }

  again(): void {
    const draft = this.shown.draft
    if (draft) void this.act.run((key) => this.start(draft.id, key), 'Planning again')
  }

  stop(): void {
    const run = this.following.run
    if (run)
      void this.act.run(
        async (key) => void (this.following.run = await call<PlanRun>('POST', `/plan-runs/${run.id}/stop`, { key })),
        'Asked to stop; the best plan so far is kept',
      )
  }

  drop(): void {
    const draft = this.shown.draft
    if (!draft) return
    void this.act.run(async () => {
      await call('DELETE', `/drafts/${draft.id}`, { version: draft.version })
      route.set({ draft: null, ask: null }, true)
      await this.shown.readDrafts()
    }, 'The draft was dropped')
  }
}
