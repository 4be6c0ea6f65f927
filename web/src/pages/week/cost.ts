// The cost over time by heads, as layers of a small picture: the largest heads at the bottom, small ones together.
import type { RunPoint } from '../../lib/contract'

export interface Layer {
  head: string
  label: string
  /** Cents at each point. */
  cents: number[]
}

/** At most `most` layers, the largest at the end first; what is left becomes one. Points without heads are left out. */
export function layers(series: RunPoint[], most = 4): Layer[] {
  const labels = new Map(series.flatMap((p) => p.heads).map((h) => [h.head, h.label]))
  const all = [...labels].map(([head, label]) => ({
    head,
    label,
    cents: series.map((p) => p.heads.find((h) => h.head === head)?.cents ?? 0),
  }))
  const weight = (l: Layer): number => Math.max(...l.cents)
  all.sort((a, b) => weight(b) - weight(a))
  const big = all.slice(0, most)
  const rest = all.slice(most).filter((l) => weight(l) > 0)
  if (rest.length === 1) big.push(...rest)
  else if (rest.length > 1)
    big.push({ head: 'rest', label: 'the rest', cents: series.map((_, i) => rest.reduce((n, l) => n + (l.cents[i] ?? 0), 0)) })
  return big.filter((l) => weight(l) > 0)
}

/** Each layer's path in a box: a step at each point, for a cost stands until a better one is found. */
export function paths(series: RunPoint[], shown: Layer[], width: number, height: number): { d: string; base: number; top: number }[] {
  const last = series[series.length - 1]
  const first = series[0]
  if (!first || !last) return []
  const length = Math.max(1, last.elapsed_ms - first.elapsed_ms)
  const most = Math.max(1, ...series.map((_, i) => shown.reduce((n, l) => n + Math.max(0, l.cents[i] ?? 0), 0)))
  const x = (p: RunPoint): number => ((p.elapsed_ms - first.elapsed_ms) / length) * width
  const y = (cents: number): number => height - (cents / most) * height
  const below = series.map(() => 0)
  return shown.map((layer) => {
    const from = [...below]
    for (const [i, c] of layer.cents.entries()) below[i] = (below[i] ?? 0) + Math.max(0, c)
    const edge = (level: number[]): string[] =>
      series.flatMap((p, i) => {
        const next = series[i + 1]
        const at = `${x(p).toFixed(1)},${y(level[i] ?? 0).toFixed(1)}`
        return next ? [at, `${x(next).toFixed(1)},${y(level[i] ?? 0).toFixed(1)}`] : [at, `${width},${y(level[i] ?? 0).toFixed(1)}`]
      })
    const end = series.length - 1
    return { d: `M${[...edge(below), ...edge(from).reverse()].join('L')}z`, base: y(from[end] ?? 0), top: y(below[end] ?? 0) }
  })
}
