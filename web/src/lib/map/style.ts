// How the map looks: the same paper, ink, lamp and water as the rest (styles/colours.css), light and dark. No
// glyphs and no sprite are named, so letters are drawn with the fonts of this device and nothing is fetched.
import type { ExpressionSpecification, LayerSpecification, StyleSpecification } from 'maplibre-gl'
import type { TileSet } from '../contract'
import type { Picture } from './picture'
import { scheme } from './tile'

interface Colours {
  ground: string
  road: string
  broad: string
  casing: string
  edge: string
  water: string
  bed: string
  bank: string
  text: string
  name: string
}

const light: Colours = {
  ground: '#f1ece1',
  road: '#fffdf8',
  broad: '#fffdf8',
  casing: '#d5ccba',
  edge: '#a99e88',
  water: '#b5d2d8',
  bed: '#e5d9bd',
  bank: '#cdbf9d',
  text: '#525d69',
  name: '#1c2530',
}
const dark: Colours = {
  ground: '#121920',
  road: '#2a3540',
  broad: '#3b4855',
  casing: '#0c1117',
  edge: '#0c1117',
  water: '#1c4453',
  bed: '#262521',
  bank: '#3a3830',
  text: '#a3aeb9',
  name: '#ece7dc',
}

/** Crews' colours; each keeps 4.5:1 with the label on it and 3:1 with the ground. The letter says the same. */
export const hues = {
  light: ['#7a3b7d', '#4a6618', '#a03a2b', '#34529b', '#7d5a00', '#0b6657', '#a3306a', '#4b5563'],
  dark: ['#d9a3de', '#aacd70', '#f29387', '#9fb6f5', '#e2bf58', '#74d1be', '#f095c1', '#bcc5d0'],
}

export function hue(i: number, isDark: boolean): string {
  const list = isDark ? hues.dark : hues.light
  return list[i % list.length] as string
}

const font = ['system-ui', 'sans-serif']

/** A width that doubles with every zoom beyond the first, in pixels at zoom 12 and 16. */
const wide = (far: number, near: number): ExpressionSpecification => [
  'interpolate',
  ['exponential', 1.6],
  ['zoom'],
  8,
  far / 2,
  12,
  far,
  16,
  near,
]
const is = (...names: string[]): ExpressionSpecification => ['match', ['get', 'class'], names, true, false]
const ramp: ExpressionSpecification = ['==', ['get', 'link'], true]

const kinds: [string, ExpressionSpecification, number, number][] = [
  ['small', is('service', 'track'), 0.6, 4],
  ['street', is('residential', 'unclassified'), 1, 8],
  ['road', ['all', is('tertiary', 'secondary'), ['!', ramp]], 2, 11],
  ['ramp', ramp, 1.4, 7],
  ['broad', ['all', is('primary', 'trunk', 'motorway'), ['!', ramp]], 3.8, 15],
]

function ground(c: Colours): LayerSpecification[] {
  const common = { source: 'map', type: 'line', 'source-layer': 'roads' } as const
  const round = { 'line-cap': 'round', 'line-join': 'round' } as const
  const dry: ExpressionSpecification = ['==', ['get', 'dry'], true]
  return [
    { id: 'bed', source: 'map', 'source-layer': 'water', type: 'fill', filter: dry, paint: { 'fill-color': c.bed } },
    {
      id: 'bank',
      source: 'map',
      'source-layer': 'water',
      type: 'line',
      filter: dry,
      paint: { 'line-color': c.bank, 'line-dasharray': [3, 3] },
    },
    { id: 'water', source: 'map', 'source-layer': 'water', type: 'fill', filter: ['!', dry], paint: { 'fill-color': c.water } },
    {
      id: 'streams',
      source: 'map',
      'source-layer': 'streams',
      type: 'line',
      paint: { 'line-color': c.water, 'line-width': wide(1, 4) },
    },
    ...kinds.map(
      ([name, filter, far, near]): LayerSpecification => ({
        ...common,
        id: `casing-${name}`,
        filter,
        minzoom: name === 'broad' ? 4 : 11,
        layout: round,
        paint: { 'line-color': name === 'broad' ? c.edge : c.casing, 'line-width': wide(far + 1.2, near + 2) },
      }),
    ),
    ...kinds.map(
      ([name, filter, far, near]): LayerSpecification => ({
        ...common,
        id: `road-${name}`,
        filter,
        layout: round,
        paint: { 'line-color': name === 'broad' ? c.broad : c.road, 'line-width': wide(far, near) },
      }),
    ),
    {
      ...common,
      id: 'private',
      filter: ['==', ['get', 'private'], true],
      minzoom: 13,
      paint: { 'line-color': c.edge, 'line-width': 1, 'line-dasharray': [3, 2] },
    },
  ]
}

function names(c: Colours): LayerSpecification[] {
  const halo = { 'text-color': c.text, 'text-halo-color': c.ground, 'text-halo-width': 1.4 } as const
  return [
    {
      id: 'name-water',
      source: 'map',
      'source-layer': 'water',
      type: 'symbol',
      minzoom: 11,
      layout: { 'text-field': ['get', 'name'], 'text-font': ['italic system-ui', ...font], 'text-size': 12 },
      paint: halo,
    },
    {
      id: 'name-street',
      source: 'map',
      'source-layer': 'roads',
      type: 'symbol',
      minzoom: 13,
      filter: ['all', ['has', 'name'], ['!', ramp]],
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 320,
        'text-field': ['get', 'name'],
        'text-font': font,
        'text-size': ['interpolate', ['linear'], ['zoom'], 13, 11, 17, 13],
      },
      paint: halo,
    },
    {
      id: 'name-number',
      source: 'map',
      'source-layer': 'roads',
      type: 'symbol',
      minzoom: 8,
      filter: ['all', ['has', 'ref'], ['!', ramp]],
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 360,
        'text-rotation-alignment': 'viewport',
        'text-field': ['get', 'ref'],
        'text-font': font,
        'text-size': 11,
      },
      paint: halo,
    },
    {
      id: 'oneway',
      source: 'map',
      'source-layer': 'roads',
      type: 'symbol',
      minzoom: 15,
      filter: ['==', ['get', 'oneway'], true],
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 120,
        'text-field': '→',
        'text-font': font,
        'text-size': 12,
        'text-keep-upright': false,
      },
      paint: { 'text-color': c.edge === c.casing ? c.text : c.edge },
    },
    {
      id: 'name-place',
      source: 'map',
      'source-layer': 'places',
      type: 'symbol',
      layout: {
        'text-field': ['get', 'name'],
        'text-font': font,
        'text-size': ['match', ['get', 'kind'], 'city', 17, 'town', 15, 'village', 13, 12],
        'text-letter-spacing': 0.02,
        'text-padding': 8,
      },
      paint: { 'text-color': c.name, 'text-halo-color': c.ground, 'text-halo-width': 1.6 },
    },
  ]
}

/** Crews' drives: each crew beside the others, on the right of its way, so that there and back both show. */
function drives(picture: Picture, c: Colours, isDark: boolean): LayerSpecification[] {
  const round = { 'line-cap': 'round', 'line-join': 'round' } as const
  const driving = picture.crews.filter((k) => picture.ways.some((w) => w.crew.id === k.id))
  return driving.flatMap((k, n): LayerSpecification[] => {
    const offset: ExpressionSpecification = ['interpolate', ['linear'], ['zoom'], 9, 1 + n * 2.5, 15, 2.5 + n * 4.5]
    const mine: ExpressionSpecification = ['==', ['get', 'crew'], k.id]
    const straight: ExpressionSpecification = ['==', ['get', 'straight'], true]
    const own = { source: 'ways', type: 'line', layout: round } as const
    const colour = hue(k.hue, isDark)
    return [
      {
        ...own,
        id: `under-${k.id}`,
        filter: ['all', mine, ['!', straight]],
        paint: { 'line-color': c.ground, 'line-width': 6, 'line-offset': offset },
      },
      {
        ...own,
        id: `way-${k.id}`,
        filter: ['all', mine, ['!', straight]],
        paint: { 'line-color': colour, 'line-width': 3.2, 'line-offset': offset },
      },
      {
        ...own,
        id: `straight-${k.id}`,
        filter: ['all', mine, straight],
        layout: {},
        paint: { 'line-color': colour, 'line-width': 2, 'line-dasharray': [3, 2.5], 'line-offset': offset },
      },
      {
        id: `letter-${k.id}`,
        source: 'ways',
        type: 'symbol',
        filter: mine,
        layout: {
          'symbol-placement': 'line',
          'symbol-spacing': 190,
          'text-field': k.letter,
          'text-font': ['bold system-ui', ...font],
          'text-size': 13,
          'text-rotation-alignment': 'viewport',
          'text-padding': 10,
        },
        paint: { 'text-color': colour, 'text-halo-color': c.ground, 'text-halo-width': 2.5 },
      },
      {
        id: `onward-${k.id}`,
        source: 'ways',
        type: 'symbol',
        filter: mine,
        layout: {
          'symbol-placement': 'line',
          'symbol-spacing': 95,
          'text-field': '›',
          'text-font': ['bold system-ui', ...font],
          'text-size': 20,
          'text-keep-upright': false,
          'text-padding': 0,
          'text-offset': [0, 0.02 + n * 0.18],
        },
        paint: { 'text-color': colour, 'text-halo-color': c.ground, 'text-halo-width': 1.5 },
      },
    ]
  })
}

/** The whole style of a picture on the ground that tiles give, or on a plain one. */
export function styleOf(picture: Picture, tiles: TileSet | undefined, isDark: boolean): StyleSpecification {
  const c = isDark ? dark : light
  const e7 = (n: number): number => n / 1e7
  return {
    version: 8,
    sources: {
      ways: {
        type: 'geojson',
        data: {
          type: 'FeatureCollection',
          features: picture.ways.map((w) => ({
            type: 'Feature',
            properties: { crew: w.crew.id, straight: w.straight },
            geometry: { type: 'LineString', coordinates: w.points },
          })),
        },
      },
      ...(tiles
        ? {
            map: {
              type: 'vector' as const,
              tiles: [`${scheme}://{z}/{x}/{y}?version=${tiles.version}`],
              minzoom: tiles.min_zoom,
              maxzoom: tiles.max_zoom,
              bounds: [e7(tiles.west_e7), e7(tiles.south_e7), e7(tiles.east_e7), e7(tiles.north_e7)] as [number, number, number, number],
            },
          }
        : {}),
    },
    layers: [
      { id: 'ground', type: 'background', paint: { 'background-color': c.ground } },
      ...(tiles ? ground(c) : []),
      ...(tiles ? names(c) : []),
      ...drives(picture, c, isDark),
    ],
  }
}
