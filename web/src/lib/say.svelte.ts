// One polite live region for the whole application (WCAG 4.1.3): what was done, where no new page says it.
class Saying {
  text = $state('')
  private turn = 0

  /** Announces a sentence. The same sentence twice is read twice. */
  say(text: string): void {
    this.turn += 1
    // A reader only speaks a changed text: an invisible character tells two equal ones apart.
    this.text = this.turn % 2 === 0 ? text : text + '\u200b'
  }
}

export const saying = new Saying()
export const say = (text: string): void => saying.say(text)
