// The survey while somebody fills it in. Every change is kept by itself: no button to forget. A value that the
// server refuses stays in its field with the reason; all other values are kept without it.
import { call, Refusal, saySo, send } from '../../lib/api'
import type { MissingFact, SiteSurvey, SurveySubject, SurveyValue } from '../../lib/contract'
import { Holder } from './held'
import { differing, merge, sameValue, type Clash } from './merge'

type Kind = SurveySubject['kind']
// After a change, and while a text may still grow; then how long until a server that is silent is asked again.
const soonMs = 500
const typingMs = 1500
const againMs = [3_000, 10_000, 30_000]

export class SurveyDraft {
  subjects = $state<SurveySubject[]>([])
  missing = $state.raw<MissingFact[]>([])
  /** By "subject.field": why the value was refused. */
  wrong = $state<Record<string, string>>({})
  /** What hinders keeping, if anything. */
  fault = $state('')
  state = $state<'kept' | 'changed' | 'keeping'>('kept')
  ready = $state(false)
  /** Values that somebody else changed meanwhile as well. */
  clashes = $state.raw<Clash[]>([])
  /** How many values the server does not have yet. */
  unsaved = $state(0)
  /** The server does not answer; what is entered lies in this browser (or, false, only on this page). */
  away = $state(false)
  heldHere = $state(true)

  private version = 0
  private format = 1
  private zone: string | undefined
  private kept: SurveySubject[] = []
  private readonly holder: Holder
  private tries = 0
  private timer: ReturnType<typeof setTimeout> | undefined
  private sending = false
  private again = false

  constructor(
    private readonly siteId: string,
    private readonly onkept: () => void,
    person = '',
  ) {
    this.holder = new Holder(person, siteId)
  }

  /** Reads what the server has, and what this browser still holds from before. */
  async read(): Promise<void> {
    const found = await call<SiteSurvey>('GET', `/sites/${this.siteId}/survey`)
    const held = this.holder.read()
    this.take(found)
    if (held) this.join(held.base, held.subjects)
    else this.subjects = structuredClone(this.kept)
    this.ready = true
    if (held) this.changed()
  }

  private take(found: SiteSurvey): void {
    this.version = found.version
    this.format = found.survey.version
    this.zone = found.survey.zone
    this.missing = found.missing
    this.kept = found.survey.subjects.map((s) => ({ ...s, values: s.values ?? {} }))
  }

  /** Joins what is here with what the server has now. */
  private join(base: SurveySubject[], mine: SurveySubject[]): void {
    const { subjects, clashes } = merge(base, mine, this.kept)
    this.subjects = structuredClone(subjects)
    const others = this.clashes.filter((c) => !clashes.some((d) => d.subject === c.subject && d.field === c.field))
    this.clashes = [...others, ...clashes]
  }

  /** Ends a clash: mine after all, or theirs as it is. */
  settle(clash: Clash, mine: boolean): void {
    this.clashes = this.clashes.filter((c) => c !== clash)
    const subject = this.subjects.find((s) => s.id === clash.subject)
    if (mine && subject) this.set(subject, clash.field, clash.mine)
  }

  /** What the server made of the values: their base, and who noted them. */
  private learn(): void {
    for (const kept of this.kept) {
      const own = this.subjects.find((s) => s.id === kept.id)
      for (const [name, value] of Object.entries(kept.values)) {
        const mine = own?.values[name]
        if (own && mine && sameValue(mine, value) && mine.base !== value.base) own.values[name] = { ...value }
      }
    }
  }

  of(kind: Kind): SurveySubject[] {
    return this.subjects.filter((s) => s.kind === kind)
  }

  /** A new thing to say something about, under a short id of its own. */
  add(kind: Kind, of?: string): SurveySubject {
    let n = this.of(kind).length + 1
    while (this.subjects.some((s) => s.id === `${kind}-${n}`)) n++
    const made: SurveySubject = { id: `${kind}-${n}`, kind, name: '', values: {} }
    if (of) made.of = of
    this.subjects.push(made)
    this.changed()
    return made
  }

  remove(id: string): void {
    this.subjects = this.subjects
      .filter((s) => s.id !== id && s.of !== id)
      .map((s) => (s.ends?.includes(id) ? { ...s, ends: s.ends.filter((e) => e !== id) } : s))
    this.changed()
  }

  /** Sets or takes away a value. */
  set(subject: SurveySubject, field: string, value: SurveyValue | undefined, typing = false): void {
    if (value) subject.values[field] = value
    else delete subject.values[field]
    delete this.wrong[`${subject.id}.${field}`]
    this.changed(typing)
  }

  changed(typing = false): void {
    this.state = 'changed'
    this.note()
    this.later(typing ? typingMs : soonMs)
  }

  private later(ms: number): void {
    clearTimeout(this.timer)
    this.timer = setTimeout(() => void this.keep(), ms)
  }

  /** Holds here what the server does not have. */
  private note(): void {
    const subjects = $state.snapshot(this.subjects) as SurveySubject[]
    this.unsaved = differing(subjects, this.kept)
    if (this.unsaved) this.heldHere = this.holder.hold({ base: this.kept, subjects })
    else this.holder.drop()
  }

  /** Asks a silent server again at once. */
  retry(): void {
    if (this.away) void this.keep()
  }

  /** Leaves the page: sends what waits; what can't be sent stays held here. */
  async leave(): Promise<void> {
    if (this.state === 'changed' && this.ready) await this.keep()
    clearTimeout(this.timer)
  }

  /** Sends what is there now, unless a sending is under way: then once more afterwards. */
  async keep(): Promise<void> {
    clearTimeout(this.timer)
    this.timer = undefined
    // Not the state: a change during a sending sets that back, and a second sending beside the first would be
    // refused for its old version and lose what was entered.
    if (this.sending) {
      this.again = true
      return
    }
    this.sending = true
    this.state = 'keeping'
    try {
      await this.put()
      this.fault = ''
      this.away = false
      this.tries = 0
      this.learn()
      this.note()
      const more = this.again || this.timer !== undefined
      this.state = more || Object.keys(this.wrong).length ? 'changed' : 'kept'
      this.onkept()
    } catch (error) {
      this.state = 'changed'
      await this.refused(error)
    } finally {
      this.sending = false
    }
    if (this.again) {
      this.again = false
      await this.keep()
    }
  }

  private async refused(error: unknown): Promise<void> {
    this.fault = ''
    if (error instanceof Refusal && error.status === 412) {
      try {
        const base = this.kept
        const found = await call<SiteSurvey>('GET', `/sites/${this.siteId}/survey`)
        this.take(found)
        this.join(base, $state.snapshot(this.subjects) as SurveySubject[])
        this.note()
        if (this.unsaved) this.later(soonMs)
        else {
          this.state = 'kept'
          this.onkept()
        }
        return
      } catch (again) {
        error = again
      }
    }
    this.away = error instanceof Refusal && (error.status === 0 || error.status >= 500)
    if (this.away) this.later(againMs[Math.min(this.tries++, againMs.length - 1)] ?? soonMs)
    else this.fault = saySo(error)
  }

  private async put(): Promise<void> {
    for (let turn = 0; ; turn++) {
      try {
        const { body } = await send<SiteSurvey>('PUT', `/sites/${this.siteId}/survey`, {
          version: this.version,
          body: this.body(),
        })
        this.take(body)
        return
      } catch (error) {
        if (!(error instanceof Refusal) || turn > 3 || !this.noteWrong(error)) throw error
      }
    }
  }

  /** Notes which values the refusal names; true where there are new ones, so that sending without them may succeed. */
  private noteWrong(refusal: Refusal): boolean {
    let fresh = false
    for (const [path, says] of Object.entries(refusal.fields)) {
      for (const subject of this.subjects) {
        for (const name of Object.keys(subject.values)) {
          const key = `${subject.id}.${name}`
          if ((path === key || path.endsWith(key) || path.includes(`${key}.`)) && !this.wrong[key]) {
            this.wrong[key] = says
            fresh = true
          }
        }
      }
    }
    return fresh
  }

  private body(): SiteSurvey['survey'] {
    const subjects = this.subjects.map((subject) => {
      const values: Record<string, SurveyValue> = {}
      const kept = this.kept.find((s) => s.id === subject.id)
      for (const [name, value] of Object.entries(subject.values)) {
        const old = kept?.values[name]
        if (!this.wrong[`${subject.id}.${name}`]) values[name] = plain(value)
        else if (old) values[name] = plain(old)
      }
      return { ...$state.snapshot(subject), values }
    })
    const body: SiteSurvey['survey'] = { version: this.format, subjects }
    if (this.zone) body.zone = this.zone
    return body
  }
}

/** As entered: the base is the server's to derive from text and unit. */
function plain(value: SurveyValue): SurveyValue {
  const { base: _, ...rest } = $state.snapshot(value) as SurveyValue
  return rest
}
