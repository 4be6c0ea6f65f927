// What may be asked of a plan, on the demo company: a run that is stopped, places and a try taken in, two plans
// beside each other, a window held for a caller, and a plan mended after somebody fell sick, through to handing out.
import assert from 'node:assert/strict'
import { after, before, test as anyTest } from 'node:test'
import { open, page, settled, signIn, sound, views } from './browser.mjs'
import { tabTo } from './keys.mjs'
import { demoProgram } from './program.mjs'

let program, browser, office, state
const bench = (p = office) => p.getByRole('region', { name: 'Looked at' })
const handOut = (p = office) => p.getByRole('button', { name: 'Hand out…' })
const api = (path) => office.evaluate(async (at) => (await fetch('/api/v1' + at)).json(), path)
/** The week that was handed out last. */
async function weekOut() {
  const branch = (await api('/session')).branches[0].id
  const newest = (await api(`/plans?branch_id=${branch}`)).items[0]
  return api(`/weeks/${newest.first_day}?branch_id=${branch}&days=${newest.days}`)
}

/** The number of the handed-out plan that is shown, once it is shown. */
const planShown = async () => {
  const shown = office.getByLabel('Which plan').locator('option:checked', { hasText: /^Handed out, plan \d+$/ })
  await shown.waitFor({ state: 'attached' })
  return Number(/\d+/.exec(await shown.innerText())[0])
}

before(async () => {
  program = await demoProgram()
  browser = await open()
  office = await page(browser, program.base)
  state = await signIn(office, program.people.dispatcher)
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

// Each step stands on the one before: after the first that fails the others say so instead of failing too.
let broken = ''
const test = (name, work) =>
  anyTest(name, async (t) => {
    if (broken) return t.skip(`after: ${broken}`)
    broken = name
    await work()
    broken = ''
  })

/** Stops the run as soon as it has a plan, and waits until that is shown. */
async function stopRun() {
  await office.getByText(/best so far \$/).waitFor({ timeout: 30_000 })
  const stop = office.getByRole('button', { name: 'Stop', exact: true })
  if (await stop.count()) await stop.click().catch(() => {}) // it may have ended just now
  await office.getByRole('progressbar').waitFor({ state: 'detached', timeout: 30_000 })
}

let draft
test('a run that is stopped keeps the best plan so far', async () => {
  await office.goto('/week')
  await settled(office)
  // So long that it can't end by itself before it is stopped, however busy the machine is.
  await office.route('**/api/v1/drafts/*/runs', (r) => r.continue({ postData: JSON.stringify({ seconds: 120 }) }))
  const streamed = office.waitForResponse((r) => r.url().endsWith('/events') && r.status() === 200)
  await office.getByRole('button', { name: 'Plan anew' }).click()
  await office.getByRole('progressbar').waitFor()
  await streamed
  await office.getByRole('button', { name: 'Stop', exact: true }).waitFor()
  await office.getByText(/best so far \$/).waitFor({ timeout: 30_000 })
  const asked = Date.now()
  await stopRun()
  await office.unroute('**/api/v1/drafts/*/runs')
  assert.ok(Date.now() - asked < 15_000, 'it stops soon')
  await handOut().waitFor()
  draft = new URL(office.url()).searchParams.get('draft')
  const kept = await api(`/drafts/${draft}`)
  assert.equal(kept.state, 'planned')
  const run = await api(`/plan-runs/${kept.run_id}`)
  assert.ok(run.stop_asked, 'the run was asked to stop')
  assert.ok(run.series.length > 0, 'it told its cost over time')
})

let held
test('the plan says on its face how sure it is, and the numbers on opening', async () => {
  await office.getByText(/^(tight|loose)$/).first().waitFor()
  await office.getByRole('button', { name: 'How sure is this week?' }).click()
  await bench().getByText(/weeks drawn at random/).waitFor()
  await bench().getByText(/\d+ % \(±[\d.]+\)/).first().waitFor()
  await sound(office, 'answers-sure')
  await office.keyboard.press('Escape')
  await bench().waitFor({ state: 'detached' })
})

test('by keyboard alone: a stop is held, a place is tried', async () => {
  // A visit with more than one place, as the server has it.
  const week = await api(`/drafts/${draft}/week`)
  for (const stop of week.lanes.flatMap((l) => l.days.flatMap((d) => d.stops))) {
    const places = await api(`/places?draft_id=${draft}&visit_id=${stop.visit_id}`)
    if (places.items?.some((s) => s.delta_cents !== 0)) {
      held = { ...stop, places }
      break
    }
  }
  assert.ok(held, 'some visit has another place')
  await tabTo(office, /, (Lamp|Ebb|Dusk) crew/)
  await office.locator(`#stop-${held.visit_id}`).focus()
  await office.keyboard.press('h')
  const list = bench().getByRole('listbox', { name: 'Places' })
  await list.waitFor()
  assert.equal(await list.getByRole('option').count(), held.places.items.length)
  assert.equal(await office.locator('.marks button').count(), held.places.items.length, 'each place is marked on the chart')
  await tabTo(office, /^Places$/)
  const to = held.places.items.findIndex((s) => s.delta_cents !== 0)
  for (let i = 0; i < to; i++) await office.keyboard.press('ArrowDown')
  await office.keyboard.press('Enter')
  await bench().getByText(/It fits/).waitFor()
  const said = await bench().getByText(/It fits/).innerText()
  held.to = held.places.items[to]
  const cents = Math.abs(held.to.delta_cents)
  const amount = `$${Math.floor(cents / 100).toLocaleString('en-US')}.${String(cents % 100).padStart(2, '0')}`
  assert.ok(said.includes(amount), `what the place costs (${amount}) is what the try says: ${said}`)
  await sound(office, 'answers-places')
})

test('what was tried is taken into the draft, whose next version holds it', async () => {
  const before = (await api(`/drafts/${draft}`)).version
  await bench().getByRole('button', { name: 'Take this into the draft' }).click()
  await bench().getByRole('listbox').waitFor({ state: 'detached' })
  assert.ok((await api(`/drafts/${draft}`)).version > before)
  const week = await api(`/drafts/${draft}/week`)
  const now = week.lanes
    .flatMap((l) => l.days.flatMap((d) => d.stops.map((s) => ({ ...s, crew: l.crew_id }))))
    .find((s) => s.visit_id === held.visit_id)
  assert.equal(now.crew, held.to.crew_id)
  assert.equal(now.start_at, held.to.start_at)
})

test('what can’t be says which limit stands against it', async () => {
  const before = await api(`/drafts/${draft}`)
  await office.locator(`#stop-${held.visit_id}`).click()
  await bench().getByRole('button', { name: /^Try\s*moving/ }).first().click()
  await office.waitForFunction(() => document.activeElement?.id === 'ask-name')
  // Half an hour before midnight no crew is out.
  await bench().getByLabel('Begins at').fill('23:30')
  await bench().getByText('It does not fit.').waitFor()
  assert.ok((await bench().locator('.limits li').count()) > 0)
  assert.ok(await bench().getByRole('button', { name: 'Take this into the draft' }).isDisabled())
  await sound(office, 'answers-limit')
  await bench().getByRole('button', { name: 'Leave it' }).click()
  assert.equal((await api(`/drafts/${draft}`)).version, before.version, 'a try keeps nothing')
})

test('a crew’s day is asked what it would be without the crew', async () => {
  const lane = (await api(`/drafts/${draft}/week`)).lanes.find((l) => l.days.some((d) => d.stops.length > 2))
  await office.getByRole('button', { name: new RegExp(`^${lane.crew_name}`) }).first().click()
  await bench().getByLabel('Day').selectOption(lane.days.find((d) => d.stops.length > 2).day)
  await bench().getByRole('button', { name: 'the crew is out' }).click()
  await bench().getByText(/It fits|It does not fit/).waitFor()
  await sound(office, 'answers-crew')
  await bench().getByRole('button', { name: 'Leave it' }).click()
})

test('two plans stand beside each other by heads and by job', async () => {
  await office.getByRole('button', { name: 'Compare' }).click()
  const heads = bench().getByRole('table')
  await heads.getByRole('row', { name: /^in all/ }).waitFor()
  const said = await api(`/comparison?draft_id=${draft}`)
  const total = Math.abs(said.total_cents - said.with_total_cents)
  assert.match(await heads.innerText(), new RegExp(`\\$${Math.floor(total / 100).toLocaleString('en-US')}\\.`))
  assert.equal(await bench().getByRole('region', { name: 'By job' }).locator('> ul > li').count(), said.jobs.length)
  await sound(office, 'answers-compare')
})

let plan
test('the draft is handed out', async () => {
  await handOut().click()
  await office.getByRole('button', { name: 'Hand out and tell them' }).click()
  await office.getByRole('dialog').waitFor({ state: 'detached' })
  await settled(office)
  plan = await planShown()
})

test('a window is offered to a caller, held with its time running, and booked', async () => {
  // A job that is left out and has a window, as the server has it: some are begun, or lack something.
  const { left_out: out } = await weekOut()
  let offered
  const said = []
  for (const job of out) {
    const found = await api(`/jobs/${job.job_id}/offers`)
    said.push(found.detail ?? found.holds)
    if (!found.windows?.length) continue
    offered = job
    break
  }
  assert.ok(offered, `no job is offered a window: ${said.join('; ')}`)
  await office.getByRole('button', { name: new RegExp(`^Offer a time\\s*${offered.site_name}$`) }).click()
  const windows = bench().getByRole('list', { name: 'Windows' })
  await windows.waitFor()
  const costs = await windows.getByRole('listitem').count()
  assert.ok(costs > 0 && costs <= 5)
  await bench().getByText('What holds it:').waitFor()
  await sound(office, 'answers-offer')
  await windows.getByRole('button', { name: /^Hold/ }).first().click()
  const timer = bench().getByRole('timer')
  assert.match(await timer.innerText(), /^(10:00|9:5\d)$/)
  const then = await timer.innerText()
  await office.waitForFunction((t) => document.querySelector('[role=timer]')?.textContent !== t, then)
  await sound(office, 'answers-held')
  await bench().getByRole('button', { name: 'Book it' }).click()
  await bench().getByText('Booked:').waitFor()
  await bench().getByRole('button', { name: /^Close/ }).last().click()
})

test('somebody is sick: it is written down, the plan mended, and told before it goes out', async () => {
  await office.getByRole('button', { name: 'Something happened…' }).click()
  await bench().getByLabel('What happened').selectOption('person_out')
  const lane = (await weekOut()).lanes.find((l) => l.days.some((d) => d.stops.length))
  const who = bench().getByLabel('Who', { exact: true })
  await who.locator('option', { hasText: lane.crew_name }).first().waitFor({ state: 'attached' })
  const name = await who.locator('option', { hasText: lane.crew_name }).first().innerText()
  await who.selectOption({ label: name })
  const days = bench().getByLabel('From', { exact: true })
  const upset = lane.days.find((d) => d.stops.length && d.stops.every((s) => Date.parse(s.start_at) > Date.now()))
  await days.selectOption(upset.day)
  await bench().getByLabel('Why', { exact: true }).fill('fever')
  await sound(office, 'answers-happened')
  await bench().getByRole('button', { name: 'Write it down and mend' }).click()
  await office.getByRole('group', { name: 'Mending' }).waitFor()
  await stopRun()
  await bench().getByText('If nobody did anything').waitFor()
  await bench().getByText(/fever/).first().waitFor()
  await bench().getByText(/messages? will be sent|Nobody has to be told/).waitFor()
  await sound(office, 'answers-mended')
  // Closed, it can be opened again; the draft stays what it is.
  await bench().getByRole('button', { name: /^Close/ }).click()
  await bench().waitFor({ state: 'detached' })
  await office.getByRole('button', { name: 'As mended' }).click()
  await bench().getByText('Who must be told what').waitFor()
  const phone = await page(browser, program.base, views[3], state)
  await phone.goto(office.url())
  await settled(phone)
  await phone.getByText('Who must be told what').waitFor()
  await sound(phone, 'answers-mended-phone')
  await phone.goto(`/week?job=${held.job_id}&draft=${new URL(office.url()).searchParams.get('draft')}&ask=none`)
  await bench(phone).getByRole('heading', { name: held.site_name }).waitFor()
  await settled(phone)
  const wide = await bench(phone).evaluate((b) => b.scrollWidth - b.clientWidth)
  assert.ok(wide <= 0, `the card is ${wide} px wider than the phone`)
  await sound(phone, 'answers-card-phone')
  await phone.context().close()
})

test('the mended plan is handed out, and the day as it goes stands over it', async () => {
  await bench().getByRole('button', { name: 'Hand out and tell them…' }).click()
  await office.getByRole('button', { name: 'Hand out and tell them', exact: true }).click()
  await office.getByRole('dialog').waitFor({ state: 'detached' })
  await settled(office)
  assert.equal(await planShown(), plan + 1)
  await office.getByRole('heading', { name: /^Today as it goes/ }).waitFor()
  await office.getByRole('button', { name: /each stop/i }).click()
  await office.getByRole('columnheader', { name: 'Expected' }).waitFor()
  await sound(office, 'answers-today')
})
