// The week on the ground: the map opens with the demo's invented town, asks nobody else for anything, draws drives
// in order, can be used by keyboard, looks sound in both sizes and lights; and without roads it says how to add them.
import assert from 'node:assert/strict'
import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { after, before, test } from 'node:test'
import { open, page, settled, signIn, sound, views } from './browser.mjs'
import { tabTo } from './keys.mjs'
import { demoProgram, serveAgain } from './program.mjs'

let program, browser, office, tech, branch, first
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
  const session = (await ask(office, '/session')).body
  branch = session.branches[0].id
  first = (await ask(office, `/plans?branch_id=${branch}`)).body.items[0]
})
after(async () => {
  await browser?.close()
  await program?.stop()
})

/** Asks the API in the name of a signed-in browser. */
async function ask(state, path) {
  const made = await page(browser, program.base, views[0], state)
  await made.goto('/mark.svg')
  const answer = await made.evaluate(async (at) => {
    const got = await fetch('/api/v1' + at)
    const type = got.headers.get('Content-Type') ?? ''
    return { status: got.status, body: type.includes('json') ? await got.json() : (await got.arrayBuffer()).byteLength }
  }, path)
  await made.context().close()
  return answer
}

async function mapDrawn(made) {
  await made.locator('.frame[data-ready=true]').waitFor({ timeout: 30_000 })
}

/** How many clearly coloured points the map's own canvas shows: drives are coloured, the ground is not. */
async function colours(made) {
  const shot = await made.locator('.frame canvas').screenshot()
  return made.evaluate(async (bytes) => {
    const image = await createImageBitmap(new Blob([new Uint8Array(bytes)], { type: 'image/png' }))
    const canvas = new OffscreenCanvas(image.width, image.height)
    const pen = canvas.getContext('2d')
    pen.drawImage(image, 0, 0)
    const { data } = pen.getImageData(0, 0, image.width, image.height)
    let strong = 0
    for (let i = 0; i < data.length; i += 4) {
      const most = Math.max(data[i], data[i + 1], data[i + 2])
      const least = Math.min(data[i], data[i + 1], data[i + 2])
      if (most - least > 70) strong++
    }
    return strong
  }, [...shot])
}

for (const view of views) {
  test(`the map opens and asks nobody else: ${view.name}`, async () => {
    const made = await page(browser, program.base, view, office)
    const outside = []
    const tiles = []
    made.on('request', (request) => {
      const url = new URL(request.url())
      if (!['data:', 'blob:'].includes(url.protocol) && url.origin !== program.base) outside.push(request.url())
    })
    made.on('response', (response) => {
      if (/\/tiles\/\d+\//.test(response.url())) tiles.push(response.status())
    })
    await made.goto('/week?form=map')
    await settled(made)
    await mapDrawn(made)
    assert.deepEqual(outside, [], 'requests that leave the origin')
    assert.ok(tiles.length > 0 && tiles.every((s) => s === 200), `tiles: ${tiles}`)
    assert.match(await made.locator('.from').innerText(), /invented town/)
    assert.ok((await colours(made)) > 500, 'drives are drawn')
    await made.locator('.frame').scrollIntoViewIfNeeded()
    await sound(made, `map-${view.name}`)
    await made.context().close()
  })
}

test('pins carry the order of each crew’s day, and a press opens the job', async () => {
  const made = await page(browser, program.base, views[0], office)
  await made.goto('/week?form=map')
  await mapDrawn(made)
  const onMap = (await made.locator('.pin .label').allInnerTexts()).flatMap((t) => t.split(' ')).sort()
  const inList = (await made.locator('.beside .no').allInnerTexts()).sort()
  assert.deepEqual(onMap, inList, 'the list says what the map shows')
  assert.ok(inList.includes('A1'), inList.join(' '))
  const pin = made.locator('.pin:not(.quiet):not(.home) button').first()
  const label = (await pin.innerText()).split(' ')[0]
  await pin.click()
  await made.waitForURL(/job=/)
  await made.locator('#job-card').waitFor()
  assert.equal(await made.locator('.pin.on').count(), 1)
  const row = made.locator('.beside li button[aria-pressed=true]').first()
  assert.equal(await row.locator('.no').innerText(), label)
  await sound(made, 'map-picked')
  await made.context().close()
})

test('by keyboard alone: a day, a place in the list, closer, and the arrows move the map', async () => {
  const made = await page(browser, program.base, views[0], office)
  await made.goto('/week?form=map')
  await mapDrawn(made)
  await tabTo(made, /^all days$/)
  await made.keyboard.press('Enter')
  await made.waitForURL(/day=all/)
  await tabTo(made, /^Map; arrows/)
  const before = await made.locator('.pin').first().boundingBox()
  await made.keyboard.press('ArrowLeft')
  await made.waitForFunction(
    (x) => Math.abs(document.querySelector('.pin').getBoundingClientRect().x - x) > 20,
    before.x,
  )
  await tabTo(made, /^Closer$/)
  await made.keyboard.press('Enter')
  await made.keyboard.press('Tab')
  await made.locator('.beside li button').first().focus()
  await made.keyboard.press('Enter')
  await made.waitForURL(/job=/)
  await made.locator('#job-card').waitFor()
  await made.context().close()
})

test('places say how well they are known; what no road reaches is driven straight', async () => {
  const { body } = await ask(office, `/week-map?branch_id=${branch}&first_day=${first.first_day}&days=${first.days}`)
  const says = new Set(body.places.map((p) => p.says))
  assert.ok(says.has('at the house number'), [...says].join('; '))
  for (const place of body.places.filter((p) => p.lat_e7 !== undefined))
    assert.equal(place.straight, place.says.includes('straight lines'), place.says)
  const straight = new Set(body.places.filter((p) => p.straight).map((p) => p.id))
  const legs = body.days.flatMap((d) => d.legs)
  assert.ok(legs.length > 10)
  for (const leg of legs) {
    assert.equal(leg.straight, straight.has(leg.from_id) || straight.has(leg.to_id))
    if (leg.straight) assert.equal(leg.steps.length, 4)
  }
  assert.ok(legs.some((l) => l.steps.length > 12), 'drives follow roads')
})

test('a tech sees the own crew’s days, and tiles', async () => {
  const { body } = await ask(tech, `/week-map?branch_id=${branch}&first_day=${first.first_day}&days=${first.days}`)
  assert.equal(new Set(body.days.map((d) => d.crew_id)).size, 1)
  const all = (await ask(office, `/week-map?branch_id=${branch}&first_day=${first.first_day}&days=${first.days}`)).body
  assert.ok(body.places.length < all.places.length)
  assert.equal((await ask(tech, '/tiles/0/0/0')).status, 200)
  const wrong = await ask(tech, '/tiles/3/8/0')
  assert.equal(wrong.status, 400)
  assert.equal(wrong.body.fields[0].field, 'x')
})

test('where access runs out while the map is open it is renewed, and the map goes on', async () => {
  const made = await page(browser, program.base, views[0], office)
  const refused = new Set()
  const given = new Set()
  await made.route(/\/api\/v1\/tiles\/\d/, (route) => {
    const url = route.request().url()
    if (refused.has(url)) {
      given.add(url)
      return route.continue()
    }
    refused.add(url)
    return route.fulfill({ status: 401, contentType: 'application/problem+json', body: '{}' })
  })
  await made.goto('/week?form=map')
  await mapDrawn(made)
  assert.ok(refused.size > 0)
  assert.deepEqual(given, refused, 'each tile is asked for again')
  assert.deepEqual(made.faults, [])
  await made.context().close()
})

test('a browser that cannot draw says so, and the list does all', async () => {
  const made = await page(browser, program.base, views[0], office)
  await made.addInitScript(() => {
    HTMLCanvasElement.prototype.getContext = () => null
  })
  await made.goto('/week?form=map')
  await made.getByText('This browser cannot draw the map').waitFor()
  await made.locator('.beside li button').first().click()
  await made.locator('#job-card').waitFor()
  await sound(made, 'map-not-drawn')
  await made.context().close()
})

test('without roads: a plain ground, straight lines, and how to add roads', async () => {
  await program.end()
  rmSync(join(program.data, 'roads'), { recursive: true })
  const bare = await serveAgain(program.data)
  try {
    const made = await page(browser, bare.base)
    await signIn(made, program.people.dispatcher)
    await made.goto('/week?form=map')
    await mapDrawn(made)
    assert.match(await made.locator('main').innerText(), /ebbline roads build REGION\.osm\.pbf/)
    assert.ok((await colours(made)) > 100, 'straight lines are drawn')
    await sound(made, 'map-without-roads')
    await made.context().close()
  } finally {
    await bare.end()
  }
})
