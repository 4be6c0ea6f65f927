// What a question about the week can be about: its days, crews, stops and jobs, as a form offers them.
import type { Lane, Stop } from '../../lib/chart/plan'
import { stopsOf } from '../../lib/chart/walk'
import type { WeekView } from '../../lib/contract'
import { weekClock, type Day } from '../../lib/time'

export interface Choice {
  id: string
  name: string
}

export interface Ground {
  branch: string
  zone: string
  today: Day
  /** The days that can still be changed. */
  days: Day[]
  lanes: Lane[]
  /** Visits that have not begun, by start. */
  visits: (Choice & { jobId: string; crewId: string })[]
  /** Jobs in the plan, and those left out of it. */
  jobs: Choice[]
  leftOut: Choice[]
}

/** The ground of a week as it is drawn. */
export function groundOf(view: WeekView, lanes: Lane[], days: Day[], today: Day): Ground {
  const stops: (Stop & { crewId: string; crew: string })[] = lanes
    .flatMap((lane) => stopsOf(lane).map((s) => ({ ...s, crewId: lane.crewId, crew: lane.name })))
    .sort((a, b) => a.start - b.start)
  const jobs = new Map<string, string>()
  for (const stop of view.lanes.flatMap((l) => l.days.flatMap((d) => d.stops)))
    jobs.set(stop.job_id, `${stop.site_name || stop.customer_name}, no. ${stop.job_number}`)
  for (const strip of view.strips) jobs.set(strip.job_id, `${strip.site_name || strip.customer_name}, no. ${strip.job_number}`)
  return {
    branch: view.branch_id,
    zone: view.zone,
    today,
    days: days.filter((d) => d >= today),
    lanes,
    visits: stops
      .filter((s) => !s.begun)
      .map((s) => ({ id: s.id, jobId: s.jobId, crewId: s.crewId, name: `${s.name}, ${s.act}, ${weekClock(s.start, view.zone)}, ${s.crew}` })),
    jobs: [...jobs].map(([id, name]) => ({ id, name })).sort((a, b) => a.name.localeCompare(b.name)),
    leftOut: view.left_out.map((l) => ({ id: l.job_id, name: `${l.site_name || l.customer_name}, no. ${l.job_number}` })),
  }
}
