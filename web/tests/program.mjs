// Starts the real program on a fresh data folder and a free port, and ends it again by its own process id.
import { spawn, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const program = process.env.EBBLINE_TEST_PROGRAM

/** A fresh folder and the settings that keep a program inside it: embedded database, no mail server, no Redis. */
function room(data = mkdtempSync(join(tmpdir(), 'ebbline-pages-'))) {
  const env = { PATH: process.env.PATH, HOME: process.env.HOME, EBBLINE_DATA: data, EBBLINE_LISTEN: '127.0.0.1:0' }
  return { data, env }
}

/** Starts `args` and waits until it says where it serves. */
function start(args, env, data) {
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, { env, stdio: ['ignore', 'pipe', 'pipe'] })
    let said = ''
    const timer = setTimeout(() => {
      child.kill()
      reject(new Error(`the program did not say within two minutes where it serves:\n${said}`))
    }, 120_000)
    const listen = (part) => {
      said += part
      const found = /serves (http:\/\/[^\s/]+)/.exec(said)
      if (!found) return
      clearTimeout(timer)
      resolve({
        base: found[1],
        data,
        said: () => said,
        /** Ends the program and leaves its folder. */
        async end() {
          if (child.exitCode !== null || child.signalCode !== null) return
          const ended = new Promise((done) => child.once('exit', done))
          child.kill('SIGTERM')
          const late = setTimeout(() => child.kill('SIGKILL'), 8_000)
          await ended
          clearTimeout(late)
        },
        async stop() {
          await this.end()
          rmSync(data, { recursive: true, force: true })
        },
      })
    }
    child.stdout.on('data', listen)
    child.stderr.on('data', listen)
    child.once('exit', (code) => {
      clearTimeout(timer)
      reject(new Error(`the program ended with ${code}:\n${said}`))
    })
  })
}

/** A zone in which it is about 11 in the morning now: messages go out in decent hours only. */
export function daytimeZone() {
  const zones = [
    'Pacific/Honolulu',
    'America/Phoenix',
    'America/Puerto_Rico',
    'Atlantic/Cape_Verde',
    'Africa/Lagos',
    'Africa/Nairobi',
    'Asia/Karachi',
    'Asia/Bangkok',
    'Asia/Tokyo',
    'Pacific/Noumea',
  ]
  const hour = (zone) => Number(new Intl.DateTimeFormat('en-US', { timeZone: zone, hour: 'numeric', hourCycle: 'h23' }).format())
  return zones.sort((a, b) => Math.abs(hour(a) - 11) - Math.abs(hour(b) - 11))[0]
}

/** A program with an empty database, one branch and one dispatcher. */
export async function emptyProgram(zone = 'America/Phoenix') {
  const { data, env } = room()
  const run = (args, input) => {
    const done = spawnSync(program, args, { env, input, encoding: 'utf8' })
    if (done.status !== 0) throw new Error(`${args[0]} ended with ${done.status}:\n${done.stdout}${done.stderr}`)
  }
  const person = { email: 'office@example.com', password: 'dusk-lamp-water-77' }
  run(['migrate'])
  run(
    [
      'user',
      'add',
      '--email',
      person.email,
      '--name',
      'R. Amado',
      '--role',
      'dispatcher',
      '--branch',
      'Salt Flats',
      '--zone',
      zone,
    ],
    person.password + '\n',
  )
  return { ...(await start(['serve'], env, data)), office: person, zone }
}

/** The demo company, filled and served, with the people who may sign in. */
export async function demoProgram() {
  const { data, env } = room()
  const started = await start(['demo', '--morning', '--data', data, '--listen', '127.0.0.1:0'], env, data)
  const until = Date.now() + 10_000
  while (!started.said().includes('with the password') || !/\btech\b/.test(started.said())) {
    if (Date.now() > until) throw new Error(`the demo does not say who may sign in:\n${started.said()}`)
    await new Promise((done) => setTimeout(done, 100))
  }
  const password = /with the password "([^"]+)"/.exec(started.said())[1]
  const people = {}
  for (const [, email, role] of started.said().matchAll(/(\S+@example\.com)\s+(owner|dispatcher|tech)\b/g))
    people[role] ??= { email, password }
  return { ...started, people }
}

/** Serves a folder that another program has filled and left. */
export function serveAgain(folder) {
  const { data, env } = room(folder)
  return start(['serve'], env, data)
}
