// Chromium and what every test asks of a page: nothing thrown, no accessibility violation, no sideways scrolling
// of the page itself, and a picture for people to look at.
import assert from 'node:assert/strict'
import { mkdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { chromium } from 'playwright-core'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const pictures = process.env.EBBLINE_TEST_PICTURES ?? '.'

/** The two sizes and the two kinds of light in which every page is looked at. */
export const views = [
  { name: 'desk-light', width: 1440, height: 900, colorScheme: 'light' },
  { name: 'desk-dark', width: 1440, height: 900, colorScheme: 'dark' },
  { name: 'phone-light', width: 390, height: 844, colorScheme: 'light' },
  { name: 'phone-dark', width: 390, height: 844, colorScheme: 'dark' },
]

export function open() {
  return chromium.launch({
    executablePath: process.env.EBBLINE_TEST_CHROMIUM,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  })
}

/** A page in one view; its errors are collected for `sound`. */
export async function page(browser, base, view = views[0], state) {
  const context = await browser.newContext({
    baseURL: base,
    viewport: { width: view.width, height: view.height },
    colorScheme: view.colorScheme,
    hasTouch: view.width < 500,
    reducedMotion: 'reduce',
    ...(state ? { storageState: state } : {}),
  })
  const made = await context.newPage()
  made.setDefaultTimeout(15_000)
  made.faults = []
  made.on('pageerror', (error) => made.faults.push(`thrown: ${error.message}`))
  made.on('console', (message) => {
    // A refused request is the page's to show; the browser's own line about it is no fault.
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource'))
      made.faults.push(`console: ${message.text()}`)
  })
  return made
}

/** Signs in by the form and gives the browser's state for further pages. */
export async function signIn(made, person) {
  await made.goto('/')
  await made.getByLabel('E-mail').fill(person.email)
  await made.getByLabel('Password').fill(person.password)
  await made.getByRole('button', { name: 'Sign in' }).click()
  await made.getByRole('button', { name: 'Sign out' }).waitFor({ state: 'attached' })
  return made.context().storageState()
}

/** Waits until the page has its answers. */
export async function settled(made) {
  await made.waitForLoadState('networkidle')
  await made.locator('h1').first().waitFor()
}

/** Takes the page's picture. */
export async function picture(made, name) {
  mkdirSync(pictures, { recursive: true })
  await made.screenshot({ path: join(pictures, `${name}.png`), fullPage: true })
}

/** Asserts that the page is sound as it stands, and takes its picture. */
export async function sound(made, name) {
  await made.evaluate(axe)
  const found = await made.evaluate(() =>
    globalThis.axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }),
  )
  await picture(made, name)
  const violations = found.violations.map(
    (v) =>
      `${v.id}: ${v.help}\n    ${v.nodes
        .slice(0, 3)
        .map((n) => n.html.slice(0, 200))
        .join('\n    ')}`,
  )
  assert.deepEqual(violations, [], `${name}: accessibility`)
  const faults = made.faults.splice(0)
  assert.deepEqual(faults, [], `${name}: errors`)
  const wide = await made.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
  assert.ok(wide <= 0, `${name}: the page scrolls sideways by ${wide} px`)
}
