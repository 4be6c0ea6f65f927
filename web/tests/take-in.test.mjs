// Files by the Enquiry page: looked at before anything is kept, taken in by parts with a way to stop, forms to fill
// in and what was taken out coming back; at both sizes, in both lights, and by keyboard.
import assert from 'node:assert/strict'
import { readFileSync } from 'node:fs'
import { after, before, test } from 'node:test'
import { open, page, signIn, sound, views } from './browser.mjs'
import { emptyProgram } from './program.mjs'

let program, browser, state, office
const csv = (name, lines) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(lines.join('\n')) })
const mixed = csv('enquiries-spring.csv', [
  'Key,Customer name,Street,City,Value ($),Due day,Postcode',
  'e1,Rose Alder,12 Ocotillo Ln,Dry Fork,5400.50,2026-04-01,08501',
  'e2,Tom Birch,14 Ocotillo Ln,Dry Fork,"1,5",04/01/2026,85012',
  'e3,,16 Ocotillo Ln,,,,',
])

before(async () => {
  program = await emptyProgram()
  browser = await open()
  office = await page(browser, program.base)
  state = await signIn(office, program.office)
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

async function form(p) {
  await p.goto('/enquiry')
  await p.getByText('Take in a file, or take out', { exact: true }).click()
}

for (const view of views) {
  test(`a file is looked at, and wrong values are marked: ${view.name}`, async () => {
    const p = await page(browser, program.base, view, state)
    await form(p)
    await p.getByLabel('Choose a file').setInputFiles(mixed)
    await p.getByText('1 row would come in').waitFor()
    assert.equal(await p.getByLabel('What is in it').inputValue(), 'enquiries')
    assert.match(await p.locator('td.wrong').allInnerTexts().then((t) => t.join(' ')), /1,5 04\/01\/2026/)
    await p.getByText('value: “1,5” is not right; want dollars like 1234.50').waitFor()
    await sound(p, `take-in-look-${view.name}`)
    assert.equal(await p.getByText('Rose Alder').count(), 1, 'only in the look')
    await p.context().close()
  })
}

test('the good row comes in, by keyboard, and once only', async () => {
  await form(office)
  await office.getByLabel('Choose a file').setInputFiles(mixed)
  const button = office.getByRole('button', { name: 'Take in', exact: true })
  await button.focus()
  await office.keyboard.press('Enter')
  await office.getByText('enquiries-spring.csv: 3 rows read, 1 new, 0 already known, 2 refused').waitFor()
  await office.getByRole('link', { name: 'See the enquiries' }).waitFor()
  await office.getByText('Taken in before').waitFor()
  await sound(office, 'take-in-done')
})

test('what is taken out as a workbook is known when it comes in again', async () => {
  await form(office)
  await office.getByLabel('What is in it').selectOption('workbook')
  const file = async (name, nth) => {
    const wait = office.waitForEvent('download')
    await office.getByRole('link', { name, exact: true }).nth(nth).click()
    const got = await wait
    return { name: got.suggestedFilename(), mimeType: '', buffer: readFileSync(await got.path()) }
  }
  const blank = await file('XLSX', 0)
  assert.equal(blank.name, 'ebbline-workbook-form.xlsx')
  await office.getByLabel('Choose a file').setInputFiles(blank)
  await office.getByText('Sheet people: row 2 is marked as an example and was left out').waitFor()
  const all = await file('XLSX', 1)
  await office.getByLabel('Choose another file').setInputFiles(all)
  await office.getByText(/0 rows would come in, 2 came in before, 0 would be refused/).waitFor()
})

test('a file dropped on the box is looked at; one that is no table is refused in words', async () => {
  await form(office)
  const data = await office.evaluateHandle(() => {
    const t = new DataTransfer()
    t.items.add(new File(['key,horse\n1,Bella\n'], 'customers.csv', { type: 'text/csv' }))
    return t
  })
  await office.dispatchEvent('.drop', 'drop', { dataTransfer: data })
  await office.getByText(/column 2: horse is not right; want one of key, name/).waitFor()
})

test('a long file shows how far it is, stops, and goes on', async () => {
  await form(office)
  const lines = ['key,name', ...Array.from({ length: 1700 }, (_, i) => `c${i},Customer ${i}`)]
  await office.getByLabel('Choose a file').setInputFiles(csv('customers.csv', lines))
  await office.getByRole('button', { name: 'Take in', exact: true }).click()
  await office.getByRole('button', { name: 'Stop' }).click()
  await office.getByText(/stopped with [\d,]+ rows left, what came in stays/).waitFor()
  await sound(office, 'take-in-stopped')
  await office.getByRole('button', { name: 'Go on' }).click()
  await office.getByText(/1,700 rows read, [\d,]+ new, [\d,]+ already known, 0 refused/).waitFor()
})
