// What the chart draws, as plain data. All instants are unix seconds; levels are shares of the way from the
// planned low (0) to full (1).

/** How much can go wrong before something gives: the server's word for it. */
export type Standing = 'loose' | 'tight' | 'not_known'

/** A promise as drawn weeks keep it; of a thousand, with half the width of its 95 % band. */
export interface Kept {
  standing: Standing
  permille: number
  margin: number
}

/** One visit as it stands in a crew's day. */
export interface Stop {
  /** The visit's id. */
  id: string
  jobId: string
  /** Where: "Cholla Ln 5". */
  name: string
  /** The visit kind's code: drain, convert, commission ... */
  kind: string
  /** What is done, in words: "convert, part 2". */
  act: string
  /** When the drive to it begins. */
  leave: number
  /** That drive was measured by straight line: no road is known that leads there. */
  straight?: boolean
  arrive: number
  start: number
  end: number
  /** Seconds it could start later without breaking anything; null where not known. */
  slack: number | null
  /** The limit that binds it, in words, or ''. */
  binds: string
  /** Has begun or is done: no longer the planner's to move. */
  begun: boolean
  /** How sure its promise is; absent where nothing is promised, or not asked yet. */
  kept?: Kept
  /** When it is to be expected now, where that is known and differs. */
  expected?: { start: number; end: number; late: boolean }
}

/** One crew's one day: leaves, drives, stops, eats, returns. */
export interface CrewDay {
  date: string
  depart: number
  back: number
  stops: Stop[]
  lunch: { start: number; end: number } | null
  /** Pumps loaded in the morning; null where not known. */
  pumps: number | null
  /** How sure the day is; absent where not asked yet. */
  standing?: Standing
}

/** A place for a held visit, as the chart marks it. */
export interface Mark {
  crewId: string
  start: number
  end: number
  cents: number
}

/** A crew over the whole axis. */
export interface Lane {
  crewId: string
  name: string
  /** Who, skills, pumps. */
  detail: string
  days: CrewDay[]
}

/** One moment of the water: the level surely not exceeded and the one that may already be reached. */
export interface LevelPoint {
  at: number
  /** Later quantile: falls last, or fills first. */
  high: number
  /** Earlier quantile. */
  low: number
}

/** A pool's week. */
export interface Strip {
  jobId: string
  name: string
  detail: string
  curve: LevelPoint[]
  visits: { id: string; kind: string; act: string; start: number; end: number }[]
  /** Arrival windows that the customer was promised. */
  promised: { from: number; to: number }[]
  /** The interval in which the customer is told to start the drain. */
  told: { from: number; to: number } | null
  /** Until when the water must cover the lights again, with the words written where it binds. */
  limit: { at: number; text: string } | null
}

/** A time in which nobody works anywhere. */
export interface Shut {
  from: number
  to: number
  /** "storm" */
  why: string
}
