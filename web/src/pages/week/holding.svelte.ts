// A visit that is held: every place it could go to, which of them is marked on chart and list.
import { get } from '../../lib/api'
import { Asked } from '../../lib/ask.svelte'
import type { PlaceList, Spot, ViewRef } from '../../lib/contract'
import { viewQuery, type Wanted } from './change'

export class Holding {
  visitId = $state('')
  marked = $state(0)
  readonly places = new Asked<PlaceList>()
  private view: ViewRef = {}

  get spots(): Spot[] {
    return this.visitId ? (this.places.value?.items ?? []) : []
  }

  /** Holds a visit and asks for its places; '' lets it go. */
  hold(visitId: string, view: ViewRef): void {
    const same = visitId === this.visitId && JSON.stringify(view) === JSON.stringify(this.view)
    this.visitId = visitId
    this.view = view
    if (same) return
    this.marked = 0
    this.places.value = undefined
    if (visitId) void this.ask()
  }

  ask(): Promise<void> {
    const query = { ...viewQuery(this.view), visit_id: this.visitId }
    return this.places.ask(() => get<PlaceList>('/places', query))
  }

  /** The place as a question: what would come of it? */
  wanted(spot: Spot): Partial<Wanted> {
    return {
      kind: 'visit',
      visitId: this.visitId,
      crewId: spot.crew_id,
      day: spot.day,
      after: spot.after_visit_id ?? 'first',
    }
  }
}
