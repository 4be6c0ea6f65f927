// A fresh program: signing in, and every page saying what to do next where there is nothing yet.
import assert from 'node:assert/strict'
import { after, before, test } from 'node:test'
import { open, page, settled, signIn, sound, views } from './browser.mjs'
import { emptyProgram } from './program.mjs'

let program, browser, state
before(async () => {
  program = await emptyProgram()
  browser = await open()
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

test('a wrong password is refused in words, at the form', async () => {
  const made = await page(browser, program.base)
  await made.goto('/week')
  await made.getByLabel('E-mail').fill(program.office.email)
  await made.getByLabel('Password').fill('not the password')
  await made.getByRole('button', { name: 'Sign in' }).click()
  await made.getByRole('alert').waitFor()
  await sound(made, 'sign-in-refused')
  await made.context().close()
})

test('signing in leads to where it was asked to go', async () => {
  const made = await page(browser, program.base)
  state = await signIn(made, program.office)
  await made.waitForURL('**/week')
  await made.context().close()
})

const empty = [
  ['/enquiry', /press New enquiry/],
  ['/week', /Nothing is handed out for these days yet/],
  ['/today', /No stop on|No crew/],
  ['/prep', /No pool has to become low/],
  ['/notices', /No notice yet/],
  ['/converted', /No conversion yet/],
]
for (const view of views) {
  let made
  for (const [path, says] of empty) {
    test(`${path} where there is nothing yet, ${view.name}`, async () => {
      made ??= await page(browser, program.base, view, state)
      await made.goto(path)
      await settled(made)
      assert.match(await made.locator('main').innerText(), says)
      await sound(made, `empty${path.replaceAll('/', '-')}-${view.name}`)
    })
  }
}

test('light or dark can be chosen against the device', async () => {
  const made = await page(browser, program.base, views[0], state)
  await made.goto('/week')
  await settled(made)
  const paper = () => made.evaluate(() => getComputedStyle(document.body).backgroundColor)
  const light = await paper()
  await made.getByLabel('Light or dark').selectOption('dark')
  const dark = await paper()
  assert.notEqual(dark, light)
  await made.reload()
  await settled(made)
  assert.equal(await paper(), dark, 'the choice is kept')
  await made.context().close()
})

test('signing out ends the session', async () => {
  const made = await page(browser, program.base)
  await signIn(made, program.office)
  await made.getByRole('button', { name: 'Sign out' }).click()
  await made.getByRole('heading', { name: 'Sign in' }).waitFor()
  await made.goto('/week')
  await made.getByRole('heading', { name: 'Sign in' }).waitFor()
  await made.context().close()
})
