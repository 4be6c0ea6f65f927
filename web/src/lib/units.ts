// Lengths are whole micrometres and volumes whole millilitres everywhere; only their face is feet or metres,
// and one page never mixes both.
import { unknown } from './format'

export type Units = 'us' | 'metric'

const inchUm = 25_400
const gallonMl = 3_785.411784 // NIST Handbook 44, appendix C: 1 gallon (231 cubic inches)

/** "12 ft 4 in" or "3.76 m". */
export function lengthText(um: number | null | undefined, units: Units): string {
  if (um === null || um === undefined) return unknown
  if (units === 'metric') return um < 1_000_000 ? `${Math.round(um / 10_000)} cm` : `${(um / 1_000_000).toFixed(2)} m`
  const inches = Math.round(um / inchUm)
  const feet = Math.floor(inches / 12)
  if (feet === 0) return `${inches} in`
  return inches % 12 === 0 ? `${feet} ft` : `${feet} ft ${inches % 12} in`
}

/** "21,500 gal" or "81.4 m³". */
export function volumeText(ml: number | null | undefined, units: Units): string {
  if (ml === null || ml === undefined) return unknown
  if (units === 'metric') return `${(ml / 1_000_000).toFixed(1)} m³`
  return `${Math.round(ml / gallonMl).toLocaleString('en-US')} gal`
}

/** How far below the tile line, as a customer reads it. */
export function depthText(um: number | null | undefined, units: Units): string {
  if (um === null || um === undefined) return unknown
  return units === 'metric' ? `${Math.round(um / 10_000)} cm` : `${Math.round(um / inchUm)} in`
}
