// The survey while somebody fills it in. Every change is kept by itself: no button to forget. A value that the
// server refuses stays in its field with the reason; all other values are kept without it.
import { call, Refusal, saySo, send } from '../../lib/api'
import type { MissingFact, SiteSurvey, SurveySubject, SurveyValue } from '../../lib/contract'

type Kind = SurveySubject['kind']

export class SurveyDraft {
  subjects = $state<SurveySubject[]>([])
  missing = $state.raw<MissingFact[]>([])
  /** By "subject.field": why the value was refused. */
  wrong = $state<Record<string, string>>({})
  /** What hinders keeping, if anything. */
  fault = $state('')
  state = $state<'kept' | 'changed' | 'keeping'>('kept')
  ready = $state(false)

  private version = 0
  private format = 1
  private zone: string | undefined
  private kept = new Map<string, Record<string, SurveyValue>>()
  private timer: ReturnType<typeof setTimeout> | undefined
  private sending = false
  private again = false

  constructor(
    private readonly siteId: string,
    private readonly onkept: () => void,
  ) {}

  async read(): Promise<void> {
    this.take(await call<SiteSurvey>('GET', `/sites/${this.siteId}/survey`))
    this.ready = true
  }

  private take(found: SiteSurvey, keepLocal = false): void {
    this.version = found.version
    this.format = found.survey.version
    this.zone = found.survey.zone
    this.missing = found.missing
    const subjects = found.survey.subjects.map((s) => ({ ...s, values: s.values ?? {} }))
    this.kept = new Map(subjects.map((s) => [s.id, s.values]))
    if (!keepLocal) this.subjects = structuredClone(subjects)
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
  set(subject: SurveySubject, field: string, value: SurveyValue | undefined): void {
    if (value) subject.values[field] = value
    else delete subject.values[field]
    delete this.wrong[`${subject.id}.${field}`]
    this.changed()
  }

  changed(): void {
    this.state = 'changed'
    clearTimeout(this.timer)
    this.timer = setTimeout(() => void this.keep(), 500)
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
      const more = this.again || this.timer !== undefined
      this.state = more || Object.keys(this.wrong).length ? 'changed' : 'kept'
      this.onkept()
    } catch (error) {
      this.state = 'changed'
      this.fault = saySo(error)
      if (error instanceof Refusal && error.status === 412) {
        await this.read()
        this.fault = 'Somebody else has written here meanwhile; their values are shown now. Enter yours again where they differ.'
      }
    } finally {
      this.sending = false
    }
    if (this.again) {
      this.again = false
      await this.keep()
    }
  }

  private async put(): Promise<void> {
    for (let turn = 0; ; turn++) {
      try {
        const { body } = await send<SiteSurvey>('PUT', `/sites/${this.siteId}/survey`, {
          version: this.version,
          body: this.body(),
        })
        this.take(body, true)
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
      for (const [name, value] of Object.entries(subject.values)) {
        const old = this.kept.get(subject.id)?.[name]
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
