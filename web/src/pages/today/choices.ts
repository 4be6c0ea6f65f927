// What can be answered to a step that asks for a choice. "no-go" never opens a gate.

/** Code and words of each answer. */
export function choices(stepId: string): [code: string, words: string][] {
  if (stepId.endsWith('-measure'))
    return [
      ['go', 'Go'],
      ['no-go', 'No-go'],
    ]
  if (stepId.endsWith('-trip'))
    return [
      ['tripped', 'It tripped'],
      ['no such device', 'No such device'],
      ['no-go', 'It did not trip'],
    ]
  return [
    ['yes', 'Yes'],
    ['no-go', 'No'],
  ]
}
