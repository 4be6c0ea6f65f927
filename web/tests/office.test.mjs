// The Yard page by hand: somebody new, a crew's hours, a pump out of order, a rate, a sign-in that works and one
// that is taken away. The list stands where the next person looks for it.
import assert from 'node:assert/strict'
import { after, before, test } from 'node:test'
import { open, page, settled, signIn, sound, views } from './browser.mjs'
import { demoProgram } from './program.mjs'

let program, browser, made, owner

before(async () => {
  program = await demoProgram()
  browser = await open()
  made = await page(browser, program.base)
  owner = await signIn(made, program.people.owner)
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

const part = (name) => made.getByRole('region', { name, exact: true })

test('people, crews and pumps are noted and changed', async () => {
  await made.goto('/yard')
  await settled(made)
  const people = part('People')
  await people.getByText('Somebody new').click()
  await people.getByLabel('Name').fill('Orla Fenwick')
  await people.getByLabel('licensed electrician').check()
  await people.getByRole('button', { name: 'Add' }).click()
  await people.getByText('in no crew · licensed electrician').waitFor()

  const crews = part('Crews')
  await crews.getByRole('button', { name: 'Change Lamp crew' }).click()
  await crews.getByLabel('Orla Fenwick').first().check()
  await crews.getByLabel('Saturday', { exact: true }).first().check()
  await crews.getByLabel('Saturday, from').first().fill('08:00')
  await crews.getByLabel('Saturday, to').first().fill('12:00')
  await crews.getByRole('button', { name: 'Keep' }).click()
  await crews.getByText('Sat 08:00–12:00 +60 min').waitFor()
  await part('People').getByText('Orla Fenwick Lamp crew · licensed electrician').waitFor()

  const pumps = part('Pumps')
  await pumps.getByRole('button', { name: 'Change Pump 2' }).click()
  await pumps.getByLabel('State').first().selectOption('broken')
  await pumps.getByRole('button', { name: 'Keep' }).click()
  await pumps.getByText('40 gpm · out of order').waitFor()
})

test('a rate is kept as a new version, and a wrong one is refused by name', async () => {
  const rates = part('Rates and rules')
  await rates.getByText('Look at them, or change them').click()
  const hour = rates.getByLabel('An hour of a crew, $')
  const version = Number(/Version (\d+)/.exec(await rates.innerText())[1])
  await hour.fill('ninety')
  await rates.getByRole('button', { name: /Keep as version/ }).click()
  await rates.getByText('An amount like 84.00').waitFor()
  await hour.fill('91.50')
  await rates.getByRole('button', { name: /Keep as version/ }).click()
  await rates.getByText(`Version ${version + 1}`, { exact: false }).waitFor()
  await made.reload()
  await settled(made)
  await part('Rates and rules').getByText('Look at them, or change them').click()
  assert.equal(await part('Rates and rules').getByLabel('An hour of a crew, $').inputValue(), '91.50')
})

test('a sign-in works until it is taken away', async () => {
  const users = part('Who signs in')
  const person = { email: 'orla@example.com', password: 'brass-elbow-noon-41' }
  await users.getByText('A new sign-in').click()
  await users.getByLabel('Name').fill('Orla Fenwick')
  await users.getByLabel('E-mail').fill(person.email)
  await users.getByLabel('Is', { exact: true }).selectOption({ label: 'Orla Fenwick' })
  await users.getByLabel('Password').fill(person.password)
  await users.getByRole('button', { name: 'Add' }).click()
  await users.getByText('tech · orla@example.com').waitFor()
  const other = await page(browser, program.base)
  await signIn(other, person)
  await other.waitForURL('**/today')
  await other.context().close()
  await users.getByRole('button', { name: 'Change Orla Fenwick' }).click()
  await users.getByLabel('may sign in').uncheck()
  await users.getByRole('button', { name: 'Keep' }).click()
  await users.getByText('may not sign in', { exact: false }).first().waitFor()
})

for (const view of views) {
  test(`yard, ${view.name}`, async () => {
    const looked = await page(browser, program.base, view, owner)
    await looked.goto('/yard')
    await settled(looked)
    await looked.getByRole('button', { name: 'Change Ebb crew' }).click()
    await looked.getByText('Look at them, or change them').click()
    await sound(looked, `office-yard-${view.name}`)
    await looked.context().close()
  })
}

test('an address is found in the road file, misspelt as it is', async () => {
  await made.goto('/enquiry/new')
  await settled(made)
  await made.getByLabel('Find the address').fill('282 ironwod spur')
  const hit = made.getByRole('button', { name: /282 Ironwood Spur/ })
  await hit.first().waitFor()
  await hit.first().click()
  assert.equal(await made.getByLabel('Street and number').inputValue(), '282 Ironwood Spur')
  assert.match(await made.getByLabel('Position').inputValue(), /^\d+\.\d+, -\d+\.\d+$/)
  await made.getByText('Known as at the house number').waitFor()
  await made.goto('/yard')
  await settled(made)
  await made.getByText(/Drives go by the roads of Cinder Wells/).waitFor()
})
