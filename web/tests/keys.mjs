// Using a page by keyboard alone.

/** Presses Tab until the focused element's name fits; fails where it is not reached. */
export async function tabTo(page, name, most = 150) {
  for (let i = 0; i < most; i++) {
    await page.keyboard.press('Tab')
    const said = await page.evaluate(() => {
      const node = document.activeElement
      return (node?.getAttribute('aria-label') || node?.textContent || '').trim().replace(/\s+/g, ' ')
    })
    if (name.test(said)) return said
  }
  throw new Error(`Tab does not reach ${name}`)
}
