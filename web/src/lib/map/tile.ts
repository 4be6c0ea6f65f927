// One tile of the map from the server. Access that has run out is renewed by the gate that all else goes through.
import { get } from '../api'

/** How the style names tiles: tile://z/x/y?version=... */
export const scheme = 'tile'

/** Fetches a tile by its address of our scheme. Throws where the server refuses it for good. */
export async function fetchTile(address: string, signal: AbortSignal): Promise<ArrayBuffer> {
  const at = '/api/v1/tiles/' + address.slice(scheme.length + '://'.length)
  let answer = await fetch(at, { signal, credentials: 'same-origin' })
  if (answer.status === 401) {
    await get('/tiles', {}, signal)
    answer = await fetch(at, { signal, credentials: 'same-origin' })
  }
  if (!answer.ok) throw new Error(`the server answered ${answer.status} for a tile of the map`)
  return answer.arrayBuffer()
}
