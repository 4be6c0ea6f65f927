// Whether what is shown came from the server just now or from what this phone kept (see src/offline.ts).
import { onAnswer } from './api'

class Signal {
  /** Instant of the kept answer that was shown last, ISO 8601; '' while the server answers. */
  keptAt = $state('')

  constructor() {
    onAnswer((keptAt) => (this.keptAt = keptAt))
  }
}

export const signal = new Signal()
