import { fireEvent, render, screen } from '@testing-library/svelte'
import { describe, expect, it, vi } from 'vitest'
import type { FieldSpec, SurveyValue } from '../../lib/contract'
import { knownBy } from './known'
import { captionOf, saidOf } from './photos.svelte'
import ValueField from './ValueField.svelte'

const spec: FieldSpec = { subject: 'body', name: 'length', label: 'Length', quantity: 'length', units: ['ft', 'in', 'm'] }
function field(value?: SurveyValue) {
  const onset = vi.fn()
  const onknown = vi.fn()
  render(ValueField, { props: { spec, value, anchor: 'v', known: 'told', onset, onknown } })
  return { onset, onknown, input: screen.getByLabelText('Length') }
}

describe('one value', () => {
  it('takes the unit beside it, unless the text carries its own', async () => {
    const { onset, input } = field()
    await fireEvent.input(input, { target: { value: '16' } })
    expect(onset).toHaveBeenLastCalledWith({ text: '16', unit: 'ft', known: 'told' }, true)
    await fireEvent.input(input, { target: { value: `16' 6 1/2"` } })
    expect(onset).toHaveBeenLastCalledWith({ text: `16' 6 1/2"`, known: 'told' }, true)
  })

  it('goes from the text to how it is known by Enter, and takes one letter there', async () => {
    const { onset, input } = field({ text: '16', unit: 'ft', known: 'told' })
    await fireEvent.keyDown(input, { key: 'Enter' })
    expect(document.activeElement).toBe(screen.getByRole('radio', { name: 'told' }))
    await fireEvent.keyDown(document.activeElement!, { key: 'd' })
    expect(onset).toHaveBeenLastCalledWith({ text: '16', unit: 'ft', known: 'measured_dry' }, false)
  })

  it('asks why where nobody knows it', async () => {
    const { onset, input } = field({ text: '16', unit: 'ft', known: 'told' })
    await fireEvent.keyDown(input, { key: 'Enter' })
    await fireEvent.keyDown(document.activeElement!, { key: 'n' })
    expect(onset).toHaveBeenLastCalledWith({ text: '', known: 'unknown', note: 'asked, nobody could tell' }, false)
  })

  it('sets how the next values are known where nothing is entered', async () => {
    const { onset, onknown, input } = field()
    await fireEvent.keyDown(input, { key: 'Enter' })
    await fireEvent.keyDown(document.activeElement!, { key: 'r' })
    expect(onknown).toHaveBeenCalledWith('read')
    expect(onset).not.toHaveBeenCalled()
  })

  it('leaves combinations of keys to the browser and to readers', () => {
    const keys = { ctrlKey: false, metaKey: false, altKey: false }
    expect(knownBy({ ...keys, key: 'W' })).toBe('measured_wet')
    expect(knownBy({ ...keys, key: 'w', ctrlKey: true })).toBeUndefined()
    expect(knownBy({ ...keys, key: 'd', altKey: true })).toBeUndefined()
    expect(knownBy({ ...keys, key: 'x' })).toBeUndefined()
  })
})

describe('photos of a thing', () => {
  it('are told apart by the whole name', () => {
    expect(saidOf(captionOf('Light 1', ' face '), 'Light 1')).toBe('face')
    expect(saidOf(captionOf('Light 1', ''), 'Light 1')).toBe('')
    expect(saidOf('Light 10: face', 'Light 1')).toBeUndefined()
  })
})
