import { describe, expect, it } from 'vitest'
import { cautionsOf, checksOf, materialsOf, partsOf } from './figures'

const figure = (key: string, text: string, known = true) => ({ key, name: key, text, known, unit: 's' })
const body = {
  bodies: [{ name: 'Pool', volume: figure('water.volume', '9,495 gal'), area: figure('water.area', '512 ft²') }],
  visits: [
    { name: 'Survey', needed: false, plan: figure('visit.survey.plan', '59 min') },
    { name: 'Convert', needed: true, plan: figure('visit.convert.plan', '5 h') },
  ],
  price: { total: figure('price.total', 'not known yet', false), net: figure('price.net', 'not known yet', false) },
  checks: [
    { name: 'Fill', result: 'holds', text: '31 %', source: 'table', decides: 'the inspector' },
    { name: 'Protection', result: 'short', text: 'none', source: 'code', decides: 'the licensed person' },
    { name: 'Distance', result: 'something new', text: '', source: '', decides: '' },
  ],
  materials: {
    lines: [
      { name: 'Meter', quantity: 1, stock: 'piece', tool: true },
      { name: 'Cord', quantity: 2, stock: 'set', for: 'Light 1' },
    ],
  },
  cautions: [{ text: 'Close the filler.' }, { why: 'no text' }],
}

describe('the estimate as it comes', () => {
  it('shows each part under its name with its figures in reading order', () => {
    const parts = partsOf(body)
    expect(parts.map((p) => p.title)).toEqual(['Price', 'Water: Pool', 'Labour: Convert'])
    expect(parts[0]?.figures.map((f) => f.key)).toEqual(['price.net', 'price.total'])
    expect(parts[1]?.figures.map((f) => f.key)).toEqual(['water.area', 'water.volume'])
  })
  it('puts checks that fall short first, and takes an unknown result for not known', () => {
    expect(checksOf(body).map((c) => [c.name, c.result])).toEqual([
      ['Protection', 'short'],
      ['Distance', 'unknown'],
      ['Fill', 'holds'],
    ])
  })
  it('lists goods before tools', () => expect(materialsOf(body).map((m) => m.name)).toEqual(['Cord', 'Meter']))
  it('gives cautions as lines', () => expect(cautionsOf(body)).toEqual(['Close the filler.']))
  it('shows nothing of what is no estimate', () => {
    expect(partsOf(null)).toEqual([])
    expect(checksOf('x')).toEqual([])
    expect(materialsOf({ materials: 3 })).toEqual([])
  })
})
