// What the page knows of files: names of kinds, what a file's name says, and where their things are seen.
import type { components } from '../../lib/api.gen'
import { sentence } from '../../lib/format'

/** The kinds of file, the widest first. */
export const kinds = ['workbook', 'enquiries', 'customers', 'survey', 'parts', 'people', 'crews', 'pumps', 'history']

/** How many rows go in at once: few enough to show how far a long file is, and to stop it. Reading a workbook anew
    for each part takes longer than reading CSV. */
export const atOnce = (name: string): number => (fileType(name) === xlsx ? 2000 : 500)

export const xlsx = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet'

/** A kind of file as people say it. */
export function kindSays(kind: string): string {
  if (kind === 'workbook') return 'Workbook, a sheet for each kind'
  return kind === 'history' ? 'Finished work' : sentence(kind)
}

/** What would become of a row. */
export function rowSays(state: string): string {
  return { new: 'comes in', known: 'came in before', refused: 'refused', left: 'not looked at' }[state] ?? state
}

/** The media type by a file's name. */
export function fileType(name: string): string {
  return name.toLowerCase().endsWith('.xlsx') ? xlsx : 'text/csv'
}

/** What a file's name says of its rows; else what was chosen, where that fits the form. */
export function kindOf(name: string, chosen: string): string {
  const low = name.toLowerCase()
  const named = kinds.find((k) => low.startsWith(k) || low.startsWith('ebbline-' + k))
  if (named) return named
  if (fileType(low) === xlsx) return 'workbook'
  return chosen === 'workbook' ? 'enquiries' : chosen
}

/** Why a file is not even sent; empty where it may be. */
export function tooLong(file: File): string {
  return file.size > 10 * 1024 * 1024 ? 'The file is larger than 10 MiB; part it.' : ''
}

/** Pages that show what came in. */
export function homes(taken: components['schemas']['Import']): { href: string; text: string }[] {
  const came = new Set(taken.sheets.map((s) => s.kind))
  const out = []
  if (['enquiries', 'survey'].some((k) => came.has(k))) out.push({ href: '/enquiry?state=enquiry', text: 'See the enquiries' })
  if (['people', 'crews', 'pumps'].some((k) => came.has(k))) out.push({ href: '/week', text: 'See the week' })
  if (came.has('history')) out.push({ href: '/converted', text: 'See what was converted' })
  return out
}
