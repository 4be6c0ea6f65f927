// What stands around a customer's quote, in the language of whoever reads it. The quote's own words are kept with it.
import { customerTime, sayDay } from '../../lib/time'

const english = {
  quote: (number: number, sum: string) => `Your quote ${number}: ${sum}`,
  approved: (by: string) => (by ? `Approved by ${by}` : 'Approved'),
  time: customerTime,
  cancelUntil: (day: string) => `You may still cancel until ${sayDay(day)}.`,
  declined: 'Declined.',
  replaced: 'A newer quote has taken its place; please open the link that came with that one.',
  name: 'Your name',
  signature: 'It stands for your signature',
  note: 'Anything to add',
  approve: (sum: string) => `Approve ${sum}`,
  decline: 'Decline',
  cancel: 'Cancel',
  notedApproval: 'Your approval is noted.',
  notedAnswer: 'Your answer is noted.',
}

const spanishTime = (timeZone: string): Intl.DateTimeFormat =>
  new Intl.DateTimeFormat('es-US', { timeZone, weekday: 'long', day: 'numeric', month: 'long', hour: 'numeric', minute: '2-digit' })

const spanish: typeof english = {
  quote: (number, sum) => `Su presupuesto ${number}: ${sum}`,
  approved: (by) => (by ? `Aprobado por ${by}` : 'Aprobado'),
  time: (at, zone) => spanishTime(zone).format(at * 1000).replace(/\.$/, ''), // the sentence has its own full stop
  cancelUntil: (day) => {
    const said = new Intl.DateTimeFormat('es-US', { timeZone: 'UTC', weekday: 'long', day: 'numeric', month: 'long' })
    return `Todavía puede cancelar hasta el ${said.format(Date.parse(day + 'T00:00:00Z'))}.`
  },
  declined: 'Rechazado.',
  replaced: 'Un presupuesto más nuevo ocupa su lugar; abra, por favor, el enlace que vino con él.',
  name: 'Su nombre',
  signature: 'Vale como su firma',
  note: 'Algo que añadir',
  approve: (sum) => `Aprobar ${sum}`,
  decline: 'Rechazar',
  cancel: 'Cancelar',
  notedApproval: 'Su aprobación queda anotada.',
  notedAnswer: 'Su respuesta queda anotada.',
}

/** The words in a language; English where there are none. */
export function quoteWords(language: string): typeof english {
  return language === 'es' ? spanish : english
}
