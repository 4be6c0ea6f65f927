// The map library behind one small door. This file is loaded when a map is opened, not before: it is as large as
// all pages together. Its worker and its styles come from this server like everything else.
import { addProtocol, Map as Canvas, Marker, setWorkerUrl } from 'maplibre-gl'
import workerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?url'
import 'maplibre-gl/dist/maplibre-gl.css'
import type { TileSet } from '../contract'
import type { At, Picture, Pin } from './picture'
import { spread } from './spread'
import { hue, styleOf } from './style'
import { fetchTile, scheme } from './tile'

/** Room around what is brought into sight, in pixels; less on a phone. */
const room = (): number => (matchMedia('(max-width: 760px)').matches ? 34 : 56)

setWorkerUrl(workerUrl)
addProtocol(scheme, async (asked, abort) => ({ data: await fetchTile(asked.url, abort.signal) }))

export interface Wishes {
  tiles: TileSet | undefined
  /** Somebody pressed a place. */
  onpick: (pin: Pin) => void
}

/** A map in an element. */
export class Board {
  private readonly canvas: Canvas
  private readonly markers = new Map<string, { marker: Marker; seen: string; pin: Pin }>()
  private style = ''

  /** Throws where this browser can't draw. */
  constructor(
    host: HTMLElement,
    picture: Picture,
    isDark: boolean,
    private readonly wishes: Wishes,
  ) {
    const style = styleOf(picture, wishes.tiles, isDark)
    this.style = JSON.stringify(style)
    this.canvas = new Canvas({
      container: host,
      style,
      ...(picture.box ? { bounds: picture.box, fitBoundsOptions: { padding: room(), maxZoom: 15 } } : { center: [0, 0] as At, zoom: 1 }),
      attributionControl: false,
      cooperativeGestures: true,
      dragRotate: false,
      pitchWithRotate: false,
      touchPitch: false,
      renderWorldCopies: false,
      maxZoom: 18,
      fadeDuration: 0,
      locale: { 'Map.Title': 'Map; arrows move it, plus and minus change its scale' },
    })
    this.canvas.touchZoomRotate.disableRotation()
    this.canvas.keyboard.disableRotation()
    // A tile that does not come leaves its ground plain; drives and places stand on it all the same.
    this.canvas.on('error', (event) => console.warn(event.error.message))
    this.canvas.on('zoom', () => this.part())
    this.canvas.on('resize', () => this.part())
    this.pins(picture, '', isDark)
  }

  /** Resolves when everything that is in sight is drawn. */
  get drawn(): Promise<void> {
    return new Promise((done) => void this.canvas.once('idle', () => done()))
  }

  show(picture: Picture, selected: string, isDark: boolean): void {
    const style = styleOf(picture, this.wishes.tiles, isDark)
    const text = JSON.stringify(style)
    if (text !== this.style) {
      this.style = text
      const set = (): void => void (this.style === text && this.canvas.setStyle(style))
      if (this.canvas.isStyleLoaded()) set()
      else void this.canvas.once('idle', set)
    }
    this.pins(picture, selected, isDark)
  }

  fit(box: [At, At] | null): void {
    if (box) this.canvas.fitBounds(box, { padding: room(), maxZoom: 15, animate: false })
  }

  /** Brings a place into sight where it is not. */
  reach(at: At): void {
    if (!this.canvas.getBounds().contains(at)) this.canvas.easeTo({ center: at })
  }

  zoom(by: number): void {
    this.canvas.zoomTo(this.canvas.getZoom() + by)
  }

  remove(): void {
    this.canvas.remove()
  }

  /** Moves apart the pins of those whom somebody comes to; the quiet ones may lie under them. */
  private part(): void {
    const shown = [...this.markers.values()].filter((m) => m.pin.home || m.pin.comings.length > 0)
    const boxes = shown.map(({ marker, pin }) => {
      const { x, y } = this.canvas.project(marker.getLngLat())
      const { offsetWidth, offsetHeight } = marker.getElement()
      return { x, y, width: (offsetWidth || 36) + 2, height: (offsetHeight || 30) + 2, fixed: pin.home }
    })
    for (const [i, by] of spread(boxes).entries()) shown[i]?.marker.setOffset(by)
  }

  private pins(picture: Picture, selected: string, isDark: boolean): void {
    const left = new Set(this.markers.keys())
    for (const pin of picture.pins) {
      if (!pin.at) continue
      left.delete(pin.id)
      const on = pin.jobIds.includes(selected)
      const first = pin.comings[0]
      const colour = first ? hue(first.crew.hue, isDark) : ''
      const seen = [pin.at, pin.label, pin.level, pin.name, on, colour].join('|')
      const had = this.markers.get(pin.id)
      if (had?.seen === seen) continue
      had?.marker.remove()
      const element = pinElement(pin, on, colour)
      element.querySelector('button')?.addEventListener('click', () => this.wishes.onpick(pin))
      const marker = new Marker({ element, anchor: 'center' }).setLngLat(pin.at).addTo(this.canvas)
      this.markers.set(pin.id, { marker, seen, pin })
    }
    for (const id of left) {
      this.markers.get(id)?.marker.remove()
      this.markers.delete(id)
    }
    this.part()
  }
}

/**
 * A pool is a small basin with its water in it; a yard is a roof. Whose stop it is stands on it in the crew's
 * colour. The list beside the map says all of it in words and is what keyboards and readers use.
 */
function pinElement(pin: Pin, on: boolean, colour: string): HTMLElement {
  const outer = document.createElement('div')
  outer.className = 'pin'
  outer.setAttribute('aria-hidden', 'true')
  outer.classList.toggle('home', pin.home)
  outer.classList.toggle('quiet', !pin.home && pin.comings.length === 0)
  outer.classList.toggle('on', on)
  outer.classList.toggle('straight', pin.straight)
  outer.classList.toggle('rough', pin.rough)
  const button = document.createElement('button')
  button.tabIndex = -1
  button.title = [pin.name, pin.water && `water ${pin.water}`, pin.says].filter(Boolean).join(' · ')
  if (colour) button.style.setProperty('--crew', colour)
  if (pin.level !== null) {
    const water = document.createElement('span')
    water.className = 'water'
    water.style.height = `${Math.round(12 + 76 * Math.max(0, Math.min(1, pin.level)))}%`
    button.append(water)
  }
  if (pin.label) {
    const label = document.createElement('span')
    label.className = 'label'
    label.textContent = pin.label
    button.append(label)
  }
  outer.append(button)
  return outer
}
