// Runs the browser tests: the real program, its real pages, headless Chromium. Each file starts a program and a
// database of its own. Pictures of every page go to a folder that is printed at the end.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = fileURLToPath(new URL('.', import.meta.url))
const chromium = process.env.EBBLINE_TEST_CHROMIUM
const program = process.env.EBBLINE_TEST_PROGRAM ?? join(here, '../../bin/ebbline')

if (!chromium) {
  console.log('browser tests skipped: EBBLINE_TEST_CHROMIUM is not set (make test sets it)')
  process.exit(0)
}
if (!existsSync(program)) {
  console.error(`browser tests: there is no program at ${program}; make build first`)
  process.exit(2)
}
const pictures = process.env.EBBLINE_TEST_PICTURES ?? mkdtempSync(join(tmpdir(), 'ebbline-pictures-'))
const asked = process.argv.slice(2)
const files = (asked.length ? asked : readdirSync(here).filter((f) => f.endsWith('.test.mjs'))).map((f) => join(here, f))
const run = spawnSync(process.execPath, ['--test', '--test-concurrency=1', '--test-reporter=spec', ...files], {
  stdio: 'inherit',
  env: { ...process.env, EBBLINE_TEST_PROGRAM: program, EBBLINE_TEST_PICTURES: pictures },
})
console.log(`pictures of the pages: ${pictures}`)
process.exit(run.status ?? 1)
