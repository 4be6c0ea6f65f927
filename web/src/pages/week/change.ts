// One change of a week as a form holds it, and as the contract has it. Only what is still missing is known here;
// whether a change is possible is the server's to say.
import type { ViewRef, WeekChange } from '../../lib/contract'
import { instant, type Day } from '../../lib/time'

export type ChangeKind = WeekChange['kind']

/** A change while somebody fills it in. '' is not chosen yet, or free. */
export interface Wanted {
  kind: ChangeKind
  visitId: string
  jobId: string
  crewId: string
  personId: string
  pumpId: string
  /** For a visit; '' keeps its day free. */
  day: Day
  fromDay: Day
  toDay: Day
  byDay: Day
  /** "08:30"; '' is wherever it is cheapest. */
  clock: string
  /** 'any', 'first', or the visit before it. */
  after: string
  hours: string
  shut: 'everything' | 'area' | 'site'
  /** Whose site is shut. */
  siteId: string
  area: string
  begins: string
  ends: string
  stopsPumping: boolean
  reading: string
  unit: string
  jobAct: 'park' | 'decline'
  note: string
  /** "06:30": somebody is out from then on; '' is the whole day. */
  fromClock: string
}

/** A form with nothing filled in but what is given. */
export function wanted(given: Partial<Wanted>): Wanted {
  return {
    kind: 'visit',
    visitId: '',
    jobId: '',
    crewId: '',
    personId: '',
    pumpId: '',
    day: '',
    fromDay: '',
    toDay: '',
    byDay: '',
    clock: '',
    after: 'any',
    hours: '',
    shut: 'everything',
    siteId: '',
    area: '',
    begins: '',
    ends: '',
    stopsPumping: true,
    reading: '',
    unit: 'in',
    jobAct: 'park',
    note: '',
    fromClock: '',
    ...given,
  }
}

/** The kinds by what they change, each as a dispatcher would begin the question. */
export const kinds: { of: string; kinds: [ChangeKind, string][] }[] = [
  {
    of: 'A visit or its job',
    kinds: [
      ['visit', 'Move a visit'],
      ['visit_longer', 'A visit takes longer'],
      ['job_earlier', 'Convert a job earlier'],
      ['job_out', 'Take a job out'],
      ['job_in', 'Take a job in'],
      ['water', 'A pool is not low'],
    ],
  },
  {
    of: 'People and crews',
    kinds: [
      ['person_out', 'One person is out'],
      ['person_moved', 'One person goes with another crew'],
      ['crew_out', 'A crew is out'],
    ],
  },
  {
    of: 'Things and places',
    kinds: [
      ['pump_broken', 'A pump is out of order'],
      ['closed', 'A storm, or something is closed'],
    ],
  },
]

/** What may have happened, in the words somebody would ring up with. */
export const happenings: [ChangeKind, string][] = [
  ['person_out', 'Somebody is sick or away'],
  ['person_moved', 'Somebody goes with another crew'],
  ['crew_out', 'A whole crew is out'],
  ['pump_broken', 'A pump is out of order'],
  ['closed', 'A storm, or something is closed'],
  ['visit_longer', 'Work takes longer'],
  ['water', 'A pool is not low'],
  ['job_out', 'A customer says no, or not now'],
  ['job_earlier', 'A customer wants it earlier'],
  ['as_it_is', 'Made safe, or reported already'],
]

const utc = (local: string, zone: string): string => new Date(instant(local, zone) * 1000).toISOString()

/** Seconds of "1.5" hours; undefined where it is no length of time. */
function seconds(hours: string): number | undefined {
  const n = Math.round(Number(hours) * 3600)
  return hours.trim() && n >= 60 ? n : undefined
}

/** The change in the contract's form; undefined while something is missing. */
export function toChange(w: Wanted, zone: string): WeekChange | undefined {
  const note = w.note.trim() ? { note: w.note.trim() } : {}
  const days = { from_day: w.fromDay, ...(w.toDay ? { to_day: w.toDay } : {}) }
  const minute = w.fromClock ? { from_minute: minuteOf(w.fromClock) } : {}
  switch (w.kind) {
    case 'visit': {
      if (!w.visitId || !w.crewId || !w.day) return undefined
      const place = w.after === 'first' ? { first: true } : w.after !== 'any' ? { after_visit_id: w.after } : {}
      const start = w.clock ? { start_at: utc(`${w.day}T${w.clock}`, zone) } : {}
      return { kind: 'visit', visit_id: w.visitId, crew_id: w.crewId, day: w.day, ...place, ...start }
    }
    case 'visit_longer': {
      const whole = seconds(w.hours)
      return w.visitId && whole ? { kind: 'visit_longer', visit_id: w.visitId, seconds: whole, ...note } : undefined
    }
    case 'job_earlier':
      return w.jobId && w.byDay ? { kind: 'job_earlier', job_id: w.jobId, by_day: w.byDay, ...note } : undefined
    case 'job_out':
      return w.jobId ? { kind: 'job_out', job_id: w.jobId, job_act: w.jobAct, ...note } : undefined
    case 'job_in':
      return w.jobId ? { kind: 'job_in', job_id: w.jobId } : undefined
    case 'water':
      return w.jobId && w.reading.trim()
        ? { kind: 'water', job_id: w.jobId, reading: { text: w.reading.trim(), unit: w.unit }, ...note }
        : undefined
    case 'person_out':
      return w.personId && w.fromDay ? { kind: 'person_out', person_id: w.personId, ...days, ...minute, ...note } : undefined
    case 'person_moved':
      return w.personId && w.crewId && w.fromDay
        ? { kind: 'person_moved', person_id: w.personId, crew_id: w.crewId, ...days, ...note }
        : undefined
    case 'crew_out':
      return w.crewId && w.fromDay ? { kind: 'crew_out', crew_id: w.crewId, ...days, ...minute, ...note } : undefined
    case 'pump_broken':
      return w.pumpId && w.fromDay ? { kind: 'pump_broken', pump_id: w.pumpId, from_day: w.fromDay, ...note } : undefined
    case 'closed': {
      if (!w.begins || !w.ends || (w.shut === 'area' && !w.area.trim()) || (w.shut === 'site' && !w.siteId)) return undefined
      const where = w.shut === 'area' ? { area: w.area.trim() } : w.shut === 'site' ? { site_id: w.siteId } : {}
      const span = { from_at: utc(w.begins, zone), to_at: utc(w.ends, zone) }
      return { kind: 'closed', closure: { kind: w.shut, ...where, ...span, stops_pumping: w.stopsPumping }, ...note }
    }
    default:
      return { kind: w.kind, ...note }
  }
}

function minuteOf(clock: string): number {
  const [h, m] = clock.split(':').map(Number)
  return (h ?? 0) * 60 + (m ?? 0)
}

/** The plan that is looked at, as a question's query names it. */
export function viewQuery(view: ViewRef): Record<string, string | number | undefined> {
  if (view.draft_id) return { draft_id: view.draft_id }
  return { branch_id: view.branch_id, plan_number: view.plan_number }
}
