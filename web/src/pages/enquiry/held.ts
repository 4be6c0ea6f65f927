// What is entered but not kept by the server yet lies in this browser, under the person's and the site's id, so
// that neither a reload nor a lost connection loses it.
import type { SurveySubject } from '../../lib/contract'

/** What somebody entered, and what it grew out of. */
export interface Held {
  base: SurveySubject[]
  subjects: SurveySubject[]
}

export class Holder {
  private readonly key: string

  constructor(person: string, siteId: string) {
    this.key = `ebbline.survey.${person}.${siteId}`
  }

  /** False where the browser refuses to keep anything: then only this page holds it. */
  hold(held: Held): boolean {
    try {
      localStorage.setItem(this.key, JSON.stringify(held))
      return true
    } catch {
      return false
    }
  }

  read(): Held | undefined {
    try {
      const found = JSON.parse(localStorage.getItem(this.key) ?? 'null') as Held | null
      return found && Array.isArray(found.base) && Array.isArray(found.subjects) ? found : undefined
    } catch {
      return undefined
    }
  }

  drop(): void {
    try {
      localStorage.removeItem(this.key)
    } catch {
      // a browser that keeps nothing has nothing to drop
    }
  }
}
