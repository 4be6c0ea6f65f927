// Entering a survey while the customer talks: by keys alone, without a connection, by two people at once, and with
// the phone's camera.
import assert from 'node:assert/strict'
import { after, before, test } from 'node:test'
import { open, page, settled, signIn, sound, views } from './browser.mjs'
import { emptyProgram } from './program.mjs'
import { unfold } from './survey.mjs'

let program, browser, office, state, job

before(async () => {
  program = await emptyProgram()
  browser = await open()
  office = await page(browser, program.base)
  state = await signIn(office, program.office)
  await office.goto('/enquiry/new')
  await settled(office)
  const said = { Phone: '+1 559 555 0126', 'E-mail': 'teo@example.com', 'Street and number': '9 Lantern Way', City: 'Dry Lake' }
  await office.getByLabel('Name', { exact: true }).fill('Teo Farrow')
  for (const [label, text] of Object.entries(said)) await office.getByLabel(label).fill(text)
  await office.getByLabel('State', { exact: true }).fill('AZ')
  await office.getByLabel('Postcode').fill('85999')
  await office.getByLabel('Position').fill('33.45, -112.05')
  await office.getByRole('button', { name: 'Keep and ask about the pool' }).click()
  await office.waitForURL(/\/enquiry\/[0-9a-f-]{36}/)
  job = new URL(office.url()).pathname
  await office.getByRole('button', { name: 'Add Body of water' }).click()
  await office.locator('#v-body-1-shape').selectOption('rectangle')
  await kept(office)
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

const kept = (p) => p.getByText('All kept').waitFor()
const value = async (p, name) => {
  const found = await p.evaluate(async (id) => {
    const known = await (await fetch(`/api/v1/jobs/${id}`)).json()
    return (await (await fetch(`/api/v1/sites/${known.site_id}/survey`)).json()).survey.subjects
  }, job.split('/')[2])
  return found.find((s) => s.id === 'body-1').values[name]
}
const focused = (p) => p.evaluate(() => document.activeElement.id)
async function atSurvey(p) {
  await p.goto(`${job}?part=survey`)
  await p.locator('#subject-body-1').waitFor()
  await unfold(p.locator('#subject-body-1'))
}

test('value, Enter, one letter, and the next value: nothing else is needed', async () => {
  await office.locator('#v-body-1-length').focus()
  await office.keyboard.type(`32' 6 1/2"`)
  await office.keyboard.press('Enter')
  await office.keyboard.press('w')
  assert.equal(await focused(office), 'v-body-1-width')
  await office.keyboard.type('192 in')
  await office.keyboard.press('Enter')
  await office.keyboard.press('d')
  await kept(office)
  // 1 in = 25.4 mm exactly: NIST Special Publication 811 (2008), appendix B.
  const length = await value(office, 'length')
  assert.deepEqual([length.text, length.base, length.known], [`32' 6 1/2"`, (32 * 12 + 6.5) * 25_400, 'measured_wet'])
  const width = await value(office, 'width')
  assert.deepEqual([width.base, width.known], [192 * 25_400, 'measured_dry'])
  await office.getByRole('complementary', { name: 'Estimate' }).getByText('520.7 ft²', { exact: true }).waitFor() // 390.5 in × 192 in
})

test('letters that are typed into a value stay letters', async () => {
  await unfold(office.locator('#subject-body-1'))
  await office.locator('#v-body-1-note').pressSequentially('dry rot, wet wall')
  await office.locator('#v-body-1-note').blur()
  await kept(office)
  assert.equal((await value(office, 'note')).text, 'dry rot, wet wall')
})

test('what nobody knows is noted with its reason', async () => {
  await office.locator('#v-body-1-ground_water').focus()
  await office.keyboard.press('Enter')
  await office.keyboard.press('n')
  const why = office.getByLabel('Why Ground water below the deck is not known')
  await why.fill('no well near, the neighbour does not know')
  await why.blur()
  await kept(office)
  const ground = await value(office, 'ground_water')
  assert.deepEqual([ground.text, ground.known, ground.note], ['', 'unknown', 'no well near, the neighbour does not know'])
})

test('what is wrong is said at the value, and everything else is kept', async () => {
  await office.locator('#v-body-1-depth_deep').fill('deep')
  await office.locator('#v-body-1-depth_shallow').fill(`3' 6"`)
  await office.locator('#v-body-1-depth_shallow').blur()
  const field = office.locator('.field:has(#v-body-1-depth_deep)')
  await field.locator('.wrong').waitFor()
  assert.match(await field.locator('.wrong').innerText(), /deep.*want/)
  assert.equal(await office.locator('#v-body-1-depth_deep').getAttribute('aria-invalid'), 'true')
  await sound(office, 'entry-wrong')
  assert.equal((await value(office, 'depth_shallow')).text, `3' 6"`)
  await office.locator('#v-body-1-depth_deep').fill('8')
  await office.locator('#v-body-1-depth_deep').blur()
  await kept(office)
})

test('without a connection nothing is lost, also not by a reload', async () => {
  const away = (route) => (route.request().method() === 'PUT' ? route.abort() : route.continue())
  await office.route('**/sites/*/survey', away)
  await office.locator('#v-body-1-lights').fill('3')
  await office.locator('#v-body-1-lights').blur()
  await office.getByText('held in this browser').waitFor()
  await sound(office, 'entry-away')
  await office.reload()
  await office.locator('#v-body-1-lights').waitFor({ state: 'attached' })
  assert.equal(await office.locator('#v-body-1-lights').inputValue(), '3')
  assert.equal(await value(office, 'lights'), undefined, 'the server does not have it')
  await office.unroute('**/sites/*/survey', away)
  await office.evaluate(() => dispatchEvent(new Event('online')))
  await kept(office)
  assert.equal((await value(office, 'lights')).text, '3')
})

test('two people at once: each value is kept, one that both changed is asked about', async () => {
  await atSurvey(office)
  const other = await page(browser, program.base, views[2], state)
  await atSurvey(other)
  await other.locator('#v-body-1-finish').selectOption('tile')
  await other.locator('#v-body-1-length').fill('33')
  await other.locator('#v-body-1-length').blur()
  await kept(other)
  await office.locator('#v-body-1-width').fill('17')
  await office.locator('#v-body-1-length').fill('34')
  await office.locator('#v-body-1-length').blur()
  const asked = office.getByRole('region', { name: 'Somebody else changed this as well' })
  await asked.waitFor()
  assert.match(await asked.innerText(), /Length: kept is 33 ft.*you entered 34 ft/s)
  await sound(office, 'entry-two')
  await asked.getByRole('button', { name: 'Mine after all' }).click()
  await asked.waitFor({ state: 'detached' })
  await office.waitForTimeout(700) // longer than a change waits before it is sent
  await kept(office)
  const said = [await value(office, 'finish'), await value(office, 'width'), await value(office, 'length')]
  assert.deepEqual(said.map((v) => v.text), ['tile', '17', '34'])
  await other.context().close()
})

test('a photo of a thing is taken on the phone and stays with it', async () => {
  const phone = await page(browser, program.base, views[2], state)
  await atSurvey(phone)
  const card = phone.locator('#subject-body-1')
  await card.getByLabel(/What the next photo/).fill('tile line')
  const camera = card.locator('input[type=file]')
  assert.equal(await camera.getAttribute('capture'), 'environment')
  const picture = await phone.screenshot({ type: 'jpeg' })
  await camera.setInputFiles({ name: 'p.jpg', mimeType: 'image/jpeg', buffer: picture })
  await card.getByAltText('Body of water 1: tile line').waitFor()
  await sound(phone, 'entry-photo-phone')
  await phone.context().close()
})

test('at the pool every control of the survey is large enough for a thumb', async () => {
  const phone = await page(browser, program.base, views[2], state)
  await atSurvey(phone)
  const small = await phone.evaluate(() =>
    [...document.querySelectorAll('main :is(button, select, summary, a.act, input:not([type=radio], [type=checkbox], [type=file]), label:has(input))')]
      .map((n) => [n.getBoundingClientRect(), (n.getAttribute('aria-label') || n.textContent || n.id).trim().slice(0, 60)])
      .filter(([box]) => box.height > 0 && box.height < 43.5)
      .map(([box, name]) => `${name}: ${Math.round(box.height)} px`),
  )
  assert.deepEqual(small, [])
  await phone.context().close()
})
