// Empties dist but for .keep, which must stay so that `//go:embed all:dist` always finds the folder.
import { readdirSync, rmSync } from 'node:fs'

const dist = new URL('../dist/', import.meta.url)
for (const name of readdirSync(dist)) {
  if (name !== '.keep') rmSync(new URL(name, dist), { recursive: true })
}
