// The plan that the Week page shows: which one the address names, its week, what is known beside it.
import { get } from '../../lib/api'
import { Asked } from '../../lib/ask.svelte'
import { fromView } from '../../lib/chart/view'
import { withNow, withOdds } from '../../lib/chart/sure'
import type { DayNow, Draft, DraftList, Odds, Plan, ViewRef, WeekView } from '../../lib/contract'
import { route } from '../../lib/route.svelte'
import { session } from '../../lib/session.svelte'
import { addDays, dayOf, monday } from '../../lib/time'
import { viewQuery } from './change'

export class Shown {
  readonly week = new Asked<WeekView>()
  readonly drafts = new Asked<Draft[]>()
  readonly odds = new Asked<Odds>()
  readonly now = new Asked<DayNow>()

  // Without a day in the address: the days that were handed out last, while they reach to today; else this week.
  private usual = $state.raw<{ first: string; days: number } | undefined>()

  readonly branch = $derived(session.branch?.id ?? '')
  readonly today = $derived(dayOf(Date.now() / 1000, session.zone))
  readonly first = $derived(route.get('from') || this.usual?.first || '')
  readonly daysAsked = $derived(
    Number(route.get('days')) || (this.usual && this.usual.first === this.first ? this.usual.days : 5),
  )
  readonly draftId = $derived(route.get('draft'))
  readonly draft = $derived(this.drafts.value?.find((d) => d.id === this.draftId))
  /** The last day of what is shown. */
  readonly last = $derived(
    this.week.value
      ? addDays(this.week.value.first_day, this.week.value.days - 1)
      : this.first
        ? addDays(this.first, this.daysAsked - 1)
        : '',
  )
  private readonly plain = $derived(this.week.value ? fromView(this.week.value) : undefined)
  /** The week as the chart draws it, with what is known beside the plan. */
  readonly drawn = $derived(
    this.plain ? { ...this.plain, lanes: withNow(withOdds(this.plain.lanes, this.odds.value), this.now.value) } : undefined,
  )
  readonly stops = $derived(this.drawn?.lanes.flatMap((l) => l.days.flatMap((d) => d.stops)) ?? [])
  /** The plan that questions are about; a plan that nobody handed out or made can't be asked anything. */
  private readonly viewText = $derived.by((): string => {
    const week = this.week.value
    if (this.draftId) {
      const whole = this.draft && this.draft.state !== 'planning' && week?.draft_id === this.draftId
      return whole && this.draft ? JSON.stringify({ draft_id: this.draftId, draft_version: this.draft.version }) : ''
    }
    return week?.plan_number && !week.draft_id ? JSON.stringify({ branch_id: week.branch_id, plan_number: week.plan_number }) : ''
  })
  readonly view = $derived(this.viewText ? (JSON.parse(this.viewText) as ViewRef) : undefined)
  /** Today lies in what was handed out and is shown. */
  readonly isToday = $derived(!this.draftId && !!this.week.value?.plan_number && this.first <= this.today && this.today <= this.last)

  readonly readWeek = (): Promise<void> =>
    this.week.ask(() =>
      this.draftId
        ? get<WeekView>(`/drafts/${this.draftId}/week`)
        : get<WeekView>(`/weeks/${this.first}`, { branch_id: this.branch, days: this.daysAsked }),
    )
  readonly readDrafts = (): Promise<void> =>
    this.drafts.ask(async () => {
      const found = await get<DraftList>('/drafts', { branch_id: this.branch, first_day: this.first, limit: 50 })
      // The list says less than the draft itself, and a draft that mends may begin on another day than this week.
      const id = this.draftId
      const whole = id ? await get<Draft>(`/drafts/${id}`).catch(() => undefined) : undefined
      if (whole) {
        const i = found.items.findIndex((d) => d.id === id)
        if (i < 0) found.items.unshift(whole)
        else found.items[i] = whole
      }
      return found.items.filter((d) => d.state !== 'dropped' || d.id === this.draftId)
    })
  readonly readOdds = (): Promise<void> =>
    this.odds.ask(async () => (this.view ? get<Odds>('/odds', viewQuery(this.view)) : Promise.reject(new Error('no plan yet'))))
  readonly readNow = (): Promise<void> => this.now.ask(() => get<DayNow>('/day-now', { branch_id: this.branch }))

  /** Finds the days that are shown where the address names none. */
  async findUsual(): Promise<void> {
    let found = { first: monday(this.today), days: 5 }
    try {
      const plans = await get<{ items: Plan[] }>('/plans', { branch_id: this.branch, limit: 1 })
      const newest = plans.items[0]
      if (newest && addDays(newest.first_day, newest.days - 1) >= this.today)
        found = { first: newest.first_day, days: newest.days }
    } catch {
      // The week itself will say what is wrong.
    }
    this.usual = found
  }

  /** Reads whatever the address names, again whenever it names something else. Called once by the page. */
  follow(): void {
    $effect(() => {
      if (this.branch) void this.findUsual()
    })
    $effect(() => {
      void [this.branch, this.first, this.daysAsked, this.draftId]
      if (this.first && this.usual) void this.readWeek()
    })
    $effect(() => {
      void [this.branch, this.first, this.draftId]
      if (this.first) void this.readDrafts()
    })
    $effect(() => {
      const asks = this.viewText && this.plain?.lanes.some((l) => l.days.some((d) => d.stops.length))
      this.odds.value = undefined
      this.odds.wrong = ''
      if (asks) void this.readOdds()
    })
    $effect(() => {
      this.now.value = undefined
      this.now.wrong = ''
      if (!this.isToday) return
      void this.readNow()
      const timer = setInterval(() => void this.readNow(), 60_000)
      return () => clearInterval(timer)
    })
  }
}
