// A small invented week for the chart's tests: two crews, two pools, two days, clocks set forward in between.
import { instant } from '../time'
import type { AxisDay } from './axis'
import type { Lane, Stop, Strip } from './plan'

export const zone = 'America/Denver'
// 8 March 2026 is a day of 23 hours there (IANA tz database).
const at = (local: string): number => instant(`2026-03-0${local}`, zone)

export const days: AxisDay[] = ['2026-03-07', '2026-03-08', '2026-03-09'].map((date, i, all) => ({
  date,
  start: instant(date, zone),
  end: instant(all[i + 1] ?? '2026-03-10', zone),
  wideFrom: instant(`${date}T07:00`, zone),
  wideTo: instant(`${date}T18:00`, zone),
}))

const stop = (id: string, jobId: string, name: string, kind: string, start: string, end: string): Stop => ({
  id,
  jobId,
  name,
  kind,
  act: kind,
  leave: at(start) - 900,
  arrive: at(start) - 300,
  start: at(start),
  end: at(end),
  slack: 1_200,
  binds: '',
  begun: false,
})

export const lanes: Lane[] = [
  {
    crewId: 'a',
    name: 'Crew Alder',
    detail: 'Ines, Paul',
    days: [
      {
        date: '2026-03-07',
        depart: at('7T07:30'),
        back: at('7T15:00'),
        lunch: { start: at('7T12:10'), end: at('7T12:40') },
        pumps: 1,
        stops: [
          stop('v1', 'j1', 'Ledge Rd 14', 'drain', '7T08:00', '7T08:40'),
          stop('v2', 'j2', 'Cholla Ln 5', 'convert', '7T09:00', '7T12:00'),
        ],
      },
      {
        date: '2026-03-09',
        depart: at('9T07:30'),
        back: at('9T13:00'),
        lunch: null,
        pumps: 0,
        stops: [stop('v3', 'j1', 'Ledge Rd 14', 'convert', '9T08:00', '9T12:30')],
      },
    ],
  },
  { crewId: 'b', name: 'Crew Brook', detail: 'Tam', days: [] },
  {
    crewId: 'c',
    name: 'Crew Cedar',
    detail: 'Joss',
    days: [
      {
        date: '2026-03-09',
        depart: at('9T14:00'),
        back: at('9T17:00'),
        lunch: null,
        pumps: 0,
        stops: [stop('v4', 'j1', 'Ledge Rd 14', 'commission', '9T14:30', '9T16:00')],
      },
    ],
  },
]

export const strips: Strip[] = [
  {
    jobId: 'j1',
    name: 'Ledge Rd 14',
    detail: 'no. 1',
    curve: [
      { at: at('7T08:40'), high: 1, low: 1 },
      { at: at('8T15:00'), high: 0.1, low: 0 },
      { at: at('8T17:00'), high: 0, low: 0 },
      { at: at('9T12:30'), high: 0, low: 0 },
      { at: at('9T20:00'), high: 1, low: 0.9 },
    ],
    visits: [{ id: 'v1', kind: 'drain', act: 'drain', start: at('7T08:00'), end: at('7T08:40') }],
    promised: [{ from: at('9T08:00'), to: at('9T10:00') }],
    told: null,
    limit: { at: at('9T18:00'), text: 'covered by Mon 18:00 at the latest' },
  },
  {
    jobId: 'j2',
    name: 'Cholla Ln 5',
    detail: 'no. 2',
    curve: [{ at: at('7T00:00'), high: 1, low: 1 }],
    visits: [],
    promised: [],
    told: { from: at('8T10:00'), to: at('8T12:00') },
    limit: null,
  },
]
