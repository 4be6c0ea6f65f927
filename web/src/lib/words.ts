// The contract's codes as people here say them. A code that is new to this page is shown as plain words.
import { sentence } from './format'

const kinds: Record<string, string> = { call_back: 'call-back' }

/** What a visit does: "drain", "convert", "call-back". */
export function kindWord(kind: string): string {
  return kinds[kind] ?? kind.replaceAll('_', ' ')
}

const states: Record<string, string> = {
  enquiry: 'Enquiry',
  surveyed: 'Surveyed',
  quoted: 'Quoted',
  approved: 'Approved',
  ready: 'Ready to plan',
  routed: 'Routed',
  under_way: 'Under way',
  made_safe: 'Made safe',
  converted: 'Converted',
  awaiting_inspection: 'Awaiting inspection',
  closed: 'Closed',
  parked: 'Parked',
  declined: 'Declined',
}

/** A job's state. */
export function stateWord(state: string): string {
  return states[state] ?? sentence(state)
}

/** All job states in the order of the flow, the two aside last. */
export const jobStates = Object.keys(states)

const ways: Record<string, string> = {
  crew_pump: 'our pump',
  own_outlet: 'pool’s own outlet',
  customer: 'customer drains',
  on_arrival: 'drained on arrival',
  others: 'low by others',
  not_known: 'not known yet',
}

/** How a pool becomes low. */
export function wayWord(way: string): string {
  return ways[way] ?? way.replaceAll('_', ' ')
}

const roles: Record<string, string> = {
  payer: 'Pays',
  occupant: 'Lives there',
  owner: 'Owner, elsewhere',
  manager: 'Manager',
  gate: 'Opens the gate',
  pool_care: 'Pool-care firm',
}

/** What a contact is to the job. */
export function roleWord(role: string): string {
  return roles[role] ?? sentence(role)
}

const knowns: Record<string, string> = {
  told: 'told',
  read: 'read',
  measured_wet: 'measured wet',
  measured_dry: 'measured dry',
  not_known: 'not known',
}

/** How a value is known. */
export function knownWord(known: string): string {
  return knowns[known] ?? known.replaceAll('_', ' ')
}

const answers: Record<string, string> = {
  started: 'drain started',
  reading: 'reading',
  reached: 'low level reached',
  window_accepted: 'window accepted',
  window_declined: 'window declined',
  another_asked: 'another window asked for',
  fill_opened: 'fill opened',
  fill_closed: 'fill closed',
  note: 'note',
}

/** What a customer said. */
export function answerWord(kind: string): string {
  return answers[kind] ?? kind.replaceAll('_', ' ')
}
