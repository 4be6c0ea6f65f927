// One job from the first call to closed, entirely by the pages: the office, the customer's link, the crew's phone.
// Nothing is prepared but a branch and one dispatcher; crews and pumps come in as files.
import assert from 'node:assert/strict'
import { after, before, test as anyTest } from 'node:test'
import { open, page, picture, settled, signIn, sound, views } from './browser.mjs'
import { tabTo } from './keys.mjs'
import { linkIn } from './mail.mjs'
import { daytimeZone, emptyProgram } from './program.mjs'
import { enterSurvey, example } from './survey.mjs'
import * as yard from './yard.mjs'

let program, browser, office, phone, state, job
const dayIn = (zone, ahead) => new Intl.DateTimeFormat('en-CA', { timeZone: zone }).format(Date.now() + ahead * 86_400_000)
const survey = example('rectangle')

before(async () => {
  program = await emptyProgram(daytimeZone())
  browser = await open()
  office = await page(browser, program.base)
  state = await signIn(office, program.office)
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
    try {
      await work()
      broken = ''
    } finally {
      if (broken) await Promise.all([office, phone].map((p, i) => p && picture(p, `flow-failed-${i}`)))
    }
  })

/** The job's part by its address. */
async function part(name) {
  await office.goto(`${job}?part=${name}`)
  await settled(office)
}
const region = (name) => office.getByRole('region', { name, exact: true })
const stage = () => office.locator('main .tag').first().innerText()

test('crews, people and pumps come in as files, and once only', async () => {
  for (const kind of ['people', 'crews', 'pumps']) {
    assert.match(await yard.takeIn(office, kind, yard[kind]), /([234]) rows read, \1 new, 0 already known, 0 refused/)
  }
  assert.match(await yard.takeIn(office, 'pumps', yard.pumps), /3 rows read, 0 new, 3 already known, 0 refused/)
})

test('a bad row is named with its line, column, value and reason', async () => {
  await yard.takeIn(office, 'pumps', 'name,home,flow,flow_unit\nPump 9,Yard,-4,gpm\n')
  const row = office.getByRole('row', { name: /flow/ }).last()
  assert.match(await row.innerText(), /2\s+flow\s+-4/)
  await sound(office, 'flow-take-in')
})

test('a call becomes an enquiry; what is wrong is said at its field', async () => {
  await office.goto('/enquiry/new')
  await settled(office)
  await office.getByLabel('Name', { exact: true }).fill('Marisol Vane')
  await office.getByLabel('Phone').fill('call me')
  await office.getByLabel('E-mail').fill('marisol@example.com')
  await office.getByLabel('Street and number').fill('12 Lantern Way')
  await office.getByLabel('City').fill('Dry Lake')
  await office.getByLabel('State', { exact: true }).fill('AZ')
  await office.getByLabel('Postcode').fill('85999')
  await office.getByLabel('Position').fill('33.45, -112.05')
  const keep = office.getByRole('button', { name: 'Keep and ask about the pool' })
  await keep.click()
  await office.locator('[aria-invalid="true"]').waitFor()
  assert.equal(await office.locator('[aria-invalid="true"]').inputValue(), 'call me')
  await sound(office, 'flow-new-enquiry-refused')
  await office.getByLabel('Phone').fill('+1 559 555 0123')
  await keep.click()
  await office.waitForURL(/\/enquiry\/[0-9a-f-]{36}/)
  job = new URL(office.url()).pathname
})

test('the estimate appears as the survey is typed', async () => {
  const estimate = office.getByRole('complementary', { name: 'Estimate' })
  await estimate.getByText('Price before tax').first().waitFor()
  assert.match(await estimate.innerText(), /Price before tax\s+not known yet/)
  await enterSurvey(office, survey)
  await office.waitForFunction(() => /Price before tax\s+\$\d/.test(document.querySelector('aside.estimate')?.innerText ?? ''))
  const kept = await office.evaluate(async (id) => {
    const found = await (await fetch(`/api/v1/jobs/${id}`)).json()
    return (await (await fetch(`/api/v1/sites/${found.site_id}/survey`)).json()).survey
  }, job.split('/')[2])
  const values = (s) =>
    s.subjects.map((x) => Object.fromEntries(Object.entries(x.values).map(([k, v]) => [k, [v.text, v.unit ?? '', v.known]])))
  assert.deepEqual(values(kept), values(survey), 'what was typed is what was kept')
  await sound(office, 'flow-survey')
})

test('each figure opens to its working', async () => {
  const figure = office
    .getByRole('complementary', { name: 'Estimate' })
    .locator('details', { has: office.locator('summary', { hasText: /^\s*Area of the water/ }) })
  await figure.locator('summary').click()
  const said = await figure.innerText()
  assert.match(said, /512 ft²/) // 32 ft by 16 ft
  assert.match(said, /Length: 32 ft · measured wet/)
  assert.match(said, /Source:/)
})

test('what was just typed is marked as surveyed', async () => {
  await office.getByRole('button', { name: 'Mark as surveyed' }).click()
  await office.locator('main .tag').first().getByText('Surveyed', { exact: true }).waitFor()
})

test('a quote is made, sent, and approved by the customer behind the link', async () => {
  await part('quote')
  await office.getByRole('button', { name: 'Make the quote' }).click()
  await office.getByRole('button', { name: 'Send to the customer' }).click()
  await office.getByText('Note an answer given by phone').waitFor()
  assert.equal(await stage(), 'Quoted')
  const customer = await page(browser, program.base, views[2])
  await customer.goto(await linkIn(program.data, 'quote'))
  await settled(customer)
  await sound(customer, 'flow-link-quote')
  await customer.getByRole('button', { name: /^Approve \$/ }).click()
  await customer.locator('.thanks', { hasText: 'Your approval is noted.' }).waitFor()
  await sound(customer, 'flow-link-approved')
  await customer.context().close()
  await part('facts')
  assert.equal(await stage(), 'Approved')
})

test('deposit, permit, sign-off and parts make the job ready', async () => {
  const money = region('Money received')
  const due = /of \$([\d,.]+) received/.exec(await region('Not ready to plan yet').innerText())[1]
  await money.getByLabel('Dollars').fill(due)
  await money.getByLabel('How').fill('check')
  await money.getByRole('button', { name: 'Note the payment' }).click()
  await money.getByText('$' + due).waitFor()
  await region('Permit').getByLabel('Needed').selectOption('no')
  await region('Permit').getByRole('button', { name: 'Keep the permit' }).click()
  await office.getByText('not needed, says the office').waitFor()
  await region('Risks accepted').getByLabel('Signed by').fill('Marisol Vane')
  await region('Risks accepted').getByRole('button', { name: 'Note the sign-off' }).click()
  await region('Risks accepted').getByText('drain risk by').waitFor()
  await office.getByRole('button', { name: 'All came in for this job' }).click()
  await office.getByRole('heading', { name: 'Everything holds' }).waitFor()
  await sound(office, 'flow-facts')
  await part('facts')
  assert.equal(await stage(), 'Ready to plan')
})

let first
test('the week is planned and handed out by keyboard alone', async () => {
  // Four days ahead: the customer may cancel for three days, and nobody works before that.
  first = dayIn(program.zone, 4)
  await office.goto(`/week?from=${first}`)
  await settled(office)
  await tabTo(office, /^Plan these days$/)
  await office.keyboard.press('Enter')
  await office.getByRole('button', { name: 'Hand out…' }).waitFor({ timeout: 40_000 })
  await office
    .getByRole('button', { name: /convert.*12 Lantern Way|12 Lantern Way.*convert/ })
    .first()
    .waitFor()
  await sound(office, 'flow-week')
  await tabTo(office, /drain/)
  await office.keyboard.press('ArrowRight')
  assert.match(office.url(), /job=/)
  const focused = () => office.evaluate(() => document.activeElement?.getAttribute('aria-label'))
  assert.match(await focused(), /convert/)
  await office.keyboard.press('+')
  await office.getByText('three days').waitFor()
  assert.match(await focused(), /convert/, 'the focus stays on the stop')
  await office.keyboard.press('-')
  await office.goto(office.url())
  await settled(office)
  await tabTo(office, /^Hand out…$/)
  await office.keyboard.press('Enter')
  await office.getByRole('dialog').getByText('Marisol Vane').first().waitFor()
  await sound(office, 'flow-told')
  await tabTo(office, /^Hand out and tell them$/)
  await office.keyboard.press('Enter')
  await office.getByRole('dialog').waitFor({ state: 'detached' })
  await office.getByText('Handed out, plan 1').waitFor({ state: 'attached' })
  await part('visits')
  assert.equal(await stage(), 'Routed')
})

test('the same week on a phone is a list, with the water under it', async () => {
  const phone = await page(browser, program.base, views[2], state)
  await phone.goto(`/week?from=${first}`)
  await settled(phone)
  await phone.getByRole('button', { name: /12 Lantern Way · drain/ }).click()
  await phone.getByRole('img', { name: /^Water of 12 Lantern Way: .*falling until.*low until/ }).waitFor()
  await sound(phone, 'flow-week-phone')
  await phone.context().close()
})

test('the customer is told, and says yes to the window behind the link', async () => {
  const customer = await page(browser, program.base, views[3])
  await customer.goto(await linkIn(program.data, 'Your day'))
  await settled(customer)
  await sound(customer, 'flow-link-window')
  await customer.getByRole('button', { name: 'That suits me' }).click()
  await customer.locator('.thanks', { hasText: 'We come then.' }).waitFor()
  await customer.context().close()
  await office.goto('/notices')
  await settled(office)
  await sound(office, 'flow-notices')
})

test('prep watch shows the pool, and a reading told by phone', async () => {
  await office.goto('/prep')
  await settled(office)
  await office.getByRole('button', { name: 'Note a word' }).first().click()
  await office.getByLabel('Below the tile line').fill('9 1/2')
  await office.getByRole('button', { name: 'Note it' }).click()
  await office.getByText(/9 1\/2 in below the tile line/).waitFor()
  await sound(office, 'flow-prep')
})

/** What somebody would enter at a step; '' where it is answered by a button. */
function entry(text) {
  if (/pH/.test(text)) return '7.2'
  if (/chlorine/i.test(text)) return '0.05'
  if (/all lights on/.test(text)) return '12.2'
  if (/tile line/.test(text)) return '32'
  if (/dead/.test(text)) return '0'
  return 'as agreed'
}

/** Answers the first step on the phone that is still open; false where none is. Photos are left out. */
async function answerStep(phone) {
  const steps = phone.locator('ol > li')
  const open = steps.getByRole('button', { name: /^(Done|Go|It tripped|Enter)\s*:/ })
  if (!(await open.count())) return false
  const [, act, step] = /^(.*?)\s*:\s*(.*)$/.exec((await open.first().textContent()).trim().replace(/\s+/g, ' '))
  const button = (word) =>
    steps.getByRole('button', { name: new RegExp(`^${word}\\s*:\\s*${step.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`) })
  if (act === 'Enter') await steps.getByRole('textbox', { name: step }).fill(entry(step))
  await button(act).click()
  await button('Enter again').waitFor()
  return true
}

/** Does every stop that stands on the phone in these days, counted from today; gives how many. */
async function workThrough(phone, from, to) {
  let stops = 0
  for (let ahead = from; ahead <= to; ahead++) {
    const day = dayIn(program.zone, ahead)
    await phone.goto(`/today?day=${day}`)
    await settled(phone)
    const crews = await phone
      .getByLabel('Crew')
      .locator('option')
      .evaluateAll((options) => options.map((o) => o.value))
    for (const crew of crews) {
      await phone.goto(`/today?day=${day}&crew=${crew}`)
      await settled(phone)
      const done = phone.getByRole('button', { name: 'This stop is done' })
      while (await done.count()) {
        await phone.getByRole('button', { name: 'I am here' }).click()
        await phone.getByRole('button', { name: 'I am here' }).waitFor({ state: 'detached' })
        while (await answerStep(phone)) await settled(phone)
        await sound(phone, `flow-today-${++stops}`)
        const stop = await phone.locator('article h2').innerText()
        const kind = await phone.locator('article p b').first().innerText()
        await done.click()
        await phone.waitForFunction(
          ([name, act]) => {
            const card = document.querySelector('article')
            return !card || !card.innerText.includes(name) || !card.innerText.includes(act)
          },
          [stop, kind],
        )
        await settled(phone)
      }
    }
  }
  return stops
}

test('the crew does every visit on the phone, step by step', async () => {
  phone = await page(browser, program.base, views[2], state)
  assert.ok((await workThrough(phone, 4, 9)) >= 3)
  await part('visits')
  assert.equal(await stage(), 'Converted')
})

test('a visit that was owed after the week is planned into the next one and done', async () => {
  const next = dayIn(program.zone, 9)
  if (await office.getByRole('row', { name: /commission Open/ }).count()) {
    await office.goto(`/week?from=${next}`)
    await settled(office)
    await office.getByRole('button', { name: 'Plan these days' }).click()
    await office.getByRole('button', { name: 'Hand out…' }).click({ timeout: 40_000 })
    await office.getByRole('button', { name: 'Hand out and tell them' }).click()
    await office.getByRole('dialog').waitFor({ state: 'detached' })
    assert.equal(await workThrough(phone, 9, 14), 1)
  }
  await phone.context().close()
  await part('visits')
  assert.equal(await office.getByRole('row', { name: /Open|Routed/ }).count(), 0, 'every visit is done')
})

test('the job is closed, and counted under Converted', async () => {
  await office.getByRole('button', { name: 'Close the job' }).click()
  await office.locator('main .tag', { hasText: 'Closed' }).first().waitFor()
  await sound(office, 'flow-closed')
  await office.goto('/converted')
  await settled(office)
  await office.getByRole('link', { name: '12 Lantern Way' }).waitFor()
  await sound(office, 'flow-converted')
})

test('the pool sheet prints on one page, on Letter and on A4', async () => {
  await office.goto(`/sheet/${job.split('/')[2]}`)
  await settled(office)
  await sound(office, 'flow-sheet')
  for (const format of ['Letter', 'A4']) {
    const pdf = await office.pdf({ format })
    const pages = pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length
    assert.equal(pages, 1, format)
  }
})
