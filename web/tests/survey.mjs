// Typing a whole survey into the Enquiry page, thing by thing and value by value, as somebody on site would.
import { readFileSync } from 'node:fs'

/** One of the example surveys of the estimate. */
export const example = (name) => JSON.parse(readFileSync(new URL(`../../testdata/survey/${name}.json`, import.meta.url), 'utf8'))

const labels = {
  site: 'Site',
  body: 'Bodies of water',
  position: 'Light positions',
  conduit: 'Conduits',
  supply: 'Supply',
  illuminator: 'Old illuminators',
  equipment: 'Equipment',
  discharge: 'Discharge',
  refill: 'Refill',
}

/** Enters the survey on the open page; gives the form's own id of each thing. */
export async function enterSurvey(page, survey) {
  const ids = {}
  for (const subject of survey.subjects) {
    const section = page.getByRole('region', { name: labels[subject.kind], exact: true })
    const before = await section.locator('details[id^="subject-"]').count()
    await section.getByRole('button', { name: /^(Add|Another)/ }).click()
    const card = section.locator('details[id^="subject-"]').nth(before)
    const id = (await card.getAttribute('id')).replace('subject-', '')
    ids[subject.id] = id
    await page.locator(`#name-${id}`).fill(subject.name)
    await page.locator(`#name-${id}`).blur()
    if (subject.of) await page.locator(`#of-${id}`).selectOption(ids[subject.of])
    const names = Object.keys(subject.values).sort((a, b) => (b === 'shape') - (a === 'shape'))
    for (const name of names) await enterValue(page, card, id, name, subject.values[name])
  }
  for (const subject of survey.subjects) {
    for (const end of subject.ends ?? []) {
      const called = survey.subjects.find((s) => s.id === end).name
      const card = page.locator(`#subject-${ids[subject.id]}`)
      await unfold(card)
      await card.getByLabel(called, { exact: true }).check()
    }
  }
  await page.getByText('All kept').waitFor()
  return ids
}

/** Opens a card and shows what is not asked for as well. */
export async function unfold(card) {
  await card.evaluate((node) => {
    node.open = true
    node.querySelector('[data-more][aria-expanded=false]')?.click()
  })
}

async function enterValue(page, card, id, name, value) {
  await unfold(card)
  const input = page.locator(`#v-${id}-${name}`)
  const select = (await input.evaluate((node) => node.tagName)) === 'SELECT'
  const field = page.locator(`.field:has(#v-${id}-${name})`)
  if (!select && value.unit) {
    const units = field.locator('select.unit')
    if (await units.count()) await units.selectOption(value.unit)
  }
  if (select) await input.selectOption(value.text)
  else {
    await input.fill(value.text)
    await input.blur()
  }
  // The field may have moved from the folded part to the first one: look it up anew.
  const known = page.locator(`.field:has(#v-${id}-${name}) input[type=radio][value=${value.known}]`)
  if (await known.count()) await known.check()
}
