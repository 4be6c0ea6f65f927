// The messages that the program wrote as .eml files, because the tests set no mail server.
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'

function files(folder) {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name)
    if (statSync(path).isDirectory()) return files(path)
    return name.endsWith('.eml') ? [path] : []
  })
}

/** Undoes quoted-printable, in which long links are broken over lines (RFC 2045, section 6.7). */
const plain = (text) => text.replace(/=\r?\n/g, '').replace(/=([0-9A-F]{2})/g, (_, hex) => String.fromCharCode(parseInt(hex, 16)))

/** The path of the customer's link in the first message whose subject or text has `words`; waits for it. */
export async function linkIn(folder, words) {
  const until = Date.now() + 60_000
  for (;;) {
    for (const path of files(folder)) {
      const text = plain(readFileSync(path, 'utf8'))
      const found = /https?:\/\/[^\s/"<>]+(\/link\/[\w-]+)/.exec(text)
      if (found && text.includes(words)) return found[1]
    }
    if (Date.now() > until) throw new Error(`no message with a link and the words "${words}" in ${folder}`)
    await new Promise((done) => setTimeout(done, 300))
  }
}
