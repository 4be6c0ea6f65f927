import { mount } from 'svelte'
import './styles/colours.css'
import './styles/base.css'
import './styles/forms.css'
import './styles/tables.css'
import './styles/print.css'
import App from './App.svelte'

const target = document.getElementById('app')
if (!target) throw new Error('the page has no place for the application')
mount(App, { target })

// Over plain http browsers offer no such thing, and the pages work with a signal only.
if (import.meta.env.PROD && 'serviceWorker' in navigator) {
  addEventListener('load', () => void navigator.serviceWorker.register('/offline.js').catch(() => {}))
}
