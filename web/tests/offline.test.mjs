// A tech's phone between two walls: the page opens without a signal, holds the day and the pools' sheets, keeps
// what is entered and sends it once there is a signal again; signing out leaves nothing behind.
import assert from 'node:assert/strict'
import { after, before, test } from 'node:test'
import { open, page, settled, signIn, sound, views } from './browser.mjs'
import { demoProgram } from './program.mjs'

let program, browser, made

before(async () => {
  program = await demoProgram()
  browser = await open()
  const first = await page(browser, program.base)
  const state = await signIn(first, program.people.tech)
  await first.context().close()
  made = await page(browser, program.base, views[2], state)
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

test('the day opens without a signal, and what is entered is sent later', async () => {
  await made.goto('/today')
  await settled(made)
  await made.evaluate(() => navigator.serviceWorker.ready)
  // A day of this week on which the crew has stops.
  for (let i = 0; i < 7 && (await made.getByText('No stop on').count()); i++) {
    await made.getByRole('button', { name: 'Day after' }).click()
    await settled(made)
  }
  await made.reload() // by now the worker answers for the page
  await settled(made)
  const day = await made.locator('main').innerText()
  assert.doesNotMatch(day, /No stop on/)
  const sheet = await made.locator('main a[href^="/sheet/"]').first().getAttribute('href')
  await made.waitForTimeout(500) // the sheets are read by the way

  await made.context().setOffline(true)
  await made.reload()
  await settled(made)
  await made.getByText('No signal. Shown as it was').waitFor()
  assert.equal((await made.locator('main').innerText()).replace(/\s+/g, ' '), day.replace(/\s+/g, ' '))
  await sound(made, 'offline-today-phone-light')
  await made.goto(sheet)
  await made.getByText('What goes in').waitFor()
  await made.getByText('No signal. Shown as it was').waitFor()

  await made.goBack()
  await settled(made)
  const arrive = made.getByRole('button', { name: 'I am here' }).first()
  await arrive.click()
  await made.getByText('kept here, to be sent', { exact: false }).first().waitFor()
  await made.context().setOffline(false)
  await made.getByText('all sent').waitFor()
  await made.reload()
  await settled(made)
  assert.equal(await made.getByText('No signal.').count(), 0)
})

test('signing out leaves no answer on the device', async () => {
  const kept = () => made.evaluate(async () => (await (await caches.open('ebbline-day')).keys()).length)
  assert.ok((await kept()) > 0)
  await made.evaluate(async () => void (await fetch('/api/v1/session', { method: 'DELETE' })))
  await made.waitForTimeout(300)
  assert.equal(await kept(), 0)
})
