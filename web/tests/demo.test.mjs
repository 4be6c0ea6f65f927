// Every page of the demo company at two sizes, light and dark, as office and as tech.
import assert from 'node:assert/strict'
import { after, before, test } from 'node:test'
import { open, page, settled, signIn, sound, views } from './browser.mjs'
import { demoProgram } from './program.mjs'

let program, browser, office, tech
const ids = {}

/** Asks the API in the name of a signed-in browser. */
async function ask(state, path) {
  const made = await page(browser, program.base, views[0], state)
  await made.goto('/mark.svg')
  const answer = await made.evaluate(async (at) => (await fetch('/api/v1' + at)).json(), path)
  await made.context().close()
  return answer
}

before(async () => {
  program = await demoProgram()
  browser = await open()
  for (const [role, keep] of [
    ['dispatcher', (state) => (office = state)],
    ['tech', (state) => (tech = state)],
  ]) {
    const made = await page(browser, program.base)
    keep(await signIn(made, program.people[role]))
    await made.context().close()
  }
  const { branches } = await ask(office, '/session')
  const plans = await ask(office, `/plans?branch_id=${branches[0].id}`)
  const newest = plans.items[0]
  const week = await ask(office, `/weeks/${newest.first_day}?branch_id=${branches[0].id}&days=${newest.days}`)
  ids.routed = week.strips[week.strips.length - 1].job_id
  ids.leftOut = week.left_out[0]?.job_id
  const enquiries = await ask(office, `/jobs?branch_id=${branches[0].id}&state=enquiry`)
  ids.enquiry = enquiries.items[0].id
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

const pages = [
  ['enquiries', () => '/enquiry', /Enquiry/],
  ['new-enquiry', () => '/enquiry/new', /Who calls/],
  ['people', () => `/enquiry/${ids.routed}?part=people`, /People/],
  ['survey', () => `/enquiry/${ids.enquiry}?part=survey`, /Price before tax/],
  ['survey-known', () => `/enquiry/${ids.routed}?part=survey`, /Price before tax\s+\$/],
  ['quote', () => `/enquiry/${ids.routed}?part=quote`, /approved by/],
  ['facts', () => `/enquiry/${ids.routed}?part=facts`, /Everything holds/],
  ['visits', () => `/enquiry/${ids.routed}?part=visits`, /convert/],
  ['history', () => `/enquiry/${ids.routed}?part=history`, /Hand out/i],
  ['week', () => '/week', /Left out/],
  ['week-lit', () => `/week?job=${ids.routed}`, /Pool sheet/],
  ['week-day', () => `/week?zoom=day&job=${ids.routed}&form=chart`, /one day/],
  ['week-list', () => '/week?form=list', /leaves \d+:\d\d, back/],
  ['prep', () => '/prep', /to be low/],
  ['notices', () => '/notices', /sent/],
  ['converted', () => '/converted', /converted/],
  ['sheet', () => `/sheet/${ids.routed}`, /What goes in/],
  ['today-office', () => '/today', /of \d/],
]
for (const view of views) {
  let made
  for (const [name, at, says] of pages) {
    test(`${name}, ${view.name}`, async () => {
      made ??= await page(browser, program.base, view, office)
      await made.goto(at())
      await settled(made)
      assert.match(await made.locator('main').innerText(), says)
      await sound(made, `demo-${name}-${view.name}`)
    })
  }
  test(`today for a tech, ${view.name}`, async () => {
    const made = await page(browser, program.base, view, tech)
    await made.goto('/')
    await made.waitForURL('**/today')
    await settled(made)
    await sound(made, `demo-today-tech-${view.name}`)
    await made.goto('/week')
    await made.getByRole('heading', { name: 'No such page' }).waitFor()
    await made.context().close()
  })
}

test('selecting a stop lights its whole chain and draws a line through crews and water', async () => {
  const made = await page(browser, program.base, views[0], office)
  await made.goto(`/week?job=${ids.routed}`)
  await settled(made)
  const lit = await made.locator('.stop.lit').count()
  assert.ok(lit >= 2, `${lit} stops are lit`)
  assert.equal(await made.locator('.upright .chain').count(), lit)
  assert.equal(await made.locator('.water.lit').count(), 1)
  const box = await made.locator('.water.lit').boundingBox()
  assert.ok(box && box.y + box.height <= 900, 'the lit pool is in sight without scrolling')
  await made.context().close()
})

test('the back button brings back what a page showed before', async () => {
  const made = await page(browser, program.base, views[0], office)
  await made.goto('/enquiry')
  await settled(made)
  await made.getByLabel('Which state').selectOption('closed')
  await made.waitForURL('**/enquiry?state=closed')
  await made.locator('tbody a').first().click()
  await made.waitForURL(/\/enquiry\/[0-9a-f-]{36}/)
  await made.goBack()
  await made.waitForURL('**/enquiry?state=closed')
  await settled(made)
  const states = await made.locator('tbody .tag').allInnerTexts()
  assert.ok(states.length > 0 && states.every((s) => s === 'Closed'))
  await made.context().close()
})

test('planning shows how far it is, can be stopped, and the draft can be dropped', async () => {
  const made = await page(browser, program.base, views[0], office)
  await made.goto('/week')
  await settled(made)
  await made.getByRole('button', { name: 'Plan anew' }).click()
  await made.getByRole('progressbar').waitFor()
  await made.waitForURL(/draft=/)
  await made.getByText(/best so far \$/).waitFor({ timeout: 30_000 })
  await sound(made, 'demo-planning')
  const asked = Date.now()
  await made.getByRole('button', { name: 'Stop', exact: true }).click()
  await made.getByRole('button', { name: 'Hand out…' }).waitFor({ timeout: 30_000 })
  await made.getByRole('progressbar').waitFor({ state: 'detached' })
  assert.ok(Date.now() - asked < 20_000)
  await made.getByRole('button', { name: 'Hand out…' }).click()
  await made
    .getByRole('dialog')
    .getByText(/will be sent|Nobody has to be told/)
    .waitFor()
  await sound(made, 'demo-told')
  await made.keyboard.press('Escape')
  await made.getByRole('dialog').waitFor({ state: 'detached' })
  await made.getByRole('button', { name: 'Drop draft' }).click()
  await made.waitForURL((url) => !url.searchParams.has('draft'))
  await made.context().close()
})

test('a visit is fixed to a crew by a plain form', async () => {
  const made = await page(browser, program.base, views[0], office)
  await made.goto(`/week?job=${ids.routed}`)
  await settled(made)
  await made.getByText('Fix a visit to a day or a crew').click()
  const crew = made.getByRole('combobox', { name: 'crew' }).last()
  const name = await crew.locator('option').nth(1).innerText()
  await crew.selectOption({ label: name })
  await made.getByText('Noted. Plan again to see what follows.').waitFor({ state: 'attached' })
  await made.reload()
  await settled(made)
  await made.getByText('Fix a visit to a day or a crew').click()
  assert.equal(await made.getByRole('combobox', { name: 'crew' }).last().locator('option:checked').innerText(), name)
  await made.context().close()
})
