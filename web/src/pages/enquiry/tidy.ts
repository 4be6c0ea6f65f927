// Forms hold '' where nothing was typed; the contract leaves such a field out.

/** A copy without empty texts and undefined values. */
export function filled<T extends object>(body: T): T {
  const kept: Record<string, unknown> = {}
  for (const [name, value] of Object.entries(body)) {
    if (value === undefined || value === null) continue
    if (typeof value === 'string') {
      if (value.trim() !== '') kept[name] = value.trim()
    } else kept[name] = value
  }
  return kept as T
}
