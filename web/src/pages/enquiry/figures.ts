// The computed estimate as it comes: an object of parts whose figures each carry their working. This page
// needs no more than that, so it walks the parts and shows what it finds.

/** One figure with its working. */
export interface Figure {
  key: string
  name: string
  known: boolean
  text: string
  low?: number
  high?: number
  value?: number
  unit?: string
  formula?: string
  source?: string
  margin?: string
  inputs?: { name: string; text: string; known?: string }[]
  missing?: { text: string }[]
}

/** A check: does it hold, by how much, by which source, who decides. */
export interface Check {
  name: string
  result: 'short' | 'unknown' | 'holds'
  text: string
  source: string
  decides: string
}

/** One line of what is needed. */
export interface Material {
  name: string
  quantity: number
  stock: string
  use: string
  tool: boolean
}

export interface Part {
  title: string
  figures: Figure[]
}

type Thing = Record<string, unknown>

const titles: [string, string][] = [
  ['price', 'Price'],
  ['clock', 'Water clock'],
  ['bodies', 'Water'],
  ['cords', 'Light and cord'],
  ['conduits', 'Conduit'],
  ['supply', 'Supply'],
  ['visits', 'Labour'],
  ['materials', 'Materials'],
  ['energy', 'Energy'],
]

const isThing = (x: unknown): x is Thing => typeof x === 'object' && x !== null && !Array.isArray(x)
const isFigure = (x: Thing): boolean => typeof x.key === 'string' && typeof x.text === 'string' && typeof x.known === 'boolean'

// JSON objects come with their names in any order; people read first what they ask for first.
const order = ['net', 'tax', 'total', 'deposit', 'cost']
  .concat([
    'working',
    'drop',
    'area',
    'volume',
    'gives',
    'allowed',
    'flow',
    'drain',
    'refill',
    'cover',
    'covers',
    'fill',
    'fills',
    'low',
    'waits',
  ])
  .concat(['run', 'needed', 'order', 'volts', 'plan', 'median', 'mean', 'before', 'after', 'saved', 'money'])
const place = (name: string): number => (order.includes(name) ? order.indexOf(name) : order.length)

/** All figures inside a value, in the order in which people ask for them. */
function figuresIn(x: unknown): Figure[] {
  if (Array.isArray(x)) return x.flatMap(figuresIn)
  if (!isThing(x)) return []
  if (isFigure(x)) return [x as unknown as Figure]
  return Object.entries(x)
    .sort(([a], [b]) => place(a) - place(b))
    .flatMap(([, value]) => figuresIn(value))
}

/** The estimate's parts with their figures; parts without a figure are left out. */
export function partsOf(body: unknown): Part[] {
  if (!isThing(body)) return []
  return titles
    .flatMap(([key, title]): Part[] => {
      const part = body[key]
      if (Array.isArray(part)) {
        return part
          .filter((p) => !isThing(p) || p.needed !== false)
          .map((p) => {
            const named = isThing(p) ? p.name || p.label : ''
            return { title: typeof named === 'string' && named ? `${title}: ${named}` : title, figures: figuresIn(p) }
          })
      }
      return [{ title, figures: figuresIn(part) }]
    })
    .filter((p) => p.figures.length > 0)
}

/** A text, or '' for anything else. */
const text = (x: unknown): string => (typeof x === 'string' ? x : '')

const results: Check['result'][] = ['short', 'unknown', 'holds']

/** The estimate's checks, those that fall short first. */
export function checksOf(body: unknown): Check[] {
  if (!isThing(body) || !Array.isArray(body.checks)) return []
  return body.checks
    .filter(isThing)
    .map((c) => ({
      name: text(c.name),
      result: results.find((r) => r === c.result) ?? 'unknown',
      text: text(c.text),
      source: text(c.source),
      decides: text(c.decides),
    }))
    .sort((a, b) => results.indexOf(a.result) - results.indexOf(b.result))
}

/** What is needed, goods before tools. */
export function materialsOf(body: unknown): Material[] {
  if (!isThing(body) || !isThing(body.materials) || !Array.isArray(body.materials.lines)) return []
  return body.materials.lines
    .filter(isThing)
    .map((m) => ({
      name: text(m.name),
      quantity: Number(m.quantity),
      stock: text(m.stock),
      use: text(m.for),
      tool: m.tool === true,
    }))
    .sort((a, b) => Number(a.tool) - Number(b.tool))
}

/** Cautions of the estimate, as lines. */
export function cautionsOf(body: unknown): string[] {
  if (!isThing(body) || !Array.isArray(body.cautions)) return []
  return body.cautions
    .filter(isThing)
    .map((c) => text(c.text))
    .filter(Boolean)
}

/** One figure of each body of water as text, by the body's id; what is not known is absent. */
export function textsOf(body: unknown, name: string): Record<string, string> {
  const found: Record<string, string> = {}
  if (!isThing(body) || !Array.isArray(body.bodies)) return found
  for (const water of body.bodies.filter(isThing)) {
    const figure = water[name]
    if (isThing(figure) && isFigure(figure) && figure.known) found[text(water.body)] = text(figure.text)
  }
  return found
}

/** Cautions that somebody has to accept by name before work may begin, apart from those that only want care. */
export function signOffsOf(body: unknown): string[] {
  if (!isThing(body) || !Array.isArray(body.cautions)) return []
  return body.cautions
    .filter(isThing)
    .filter((c) => c.sign_off === true)
    .map((c) => text(c.text))
    .filter(Boolean)
}
