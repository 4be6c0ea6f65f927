// Light or dark: the device's choice unless the person made their own on this device.
export type Theme = 'device' | 'light' | 'dark'

const key = 'ebbline.theme'

function stored(): Theme {
  const value = localStorage.getItem(key)
  return value === 'light' || value === 'dark' ? value : 'device'
}

class ThemeChoice {
  current = $state<Theme>(stored())

  constructor() {
    this.show()
  }

  choose(theme: Theme): void {
    this.current = theme
    if (theme === 'device') localStorage.removeItem(key)
    else localStorage.setItem(key, theme)
    this.show()
  }

  private show(): void {
    if (this.current === 'device') delete document.documentElement.dataset.theme
    else document.documentElement.dataset.theme = this.current
  }
}

export const theme = new ThemeChoice()
