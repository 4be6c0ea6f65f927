// Pins that would lie on each other are moved apart on the screen, no further than they must.

/** A pin's box: its middle and its size in pixels. A fixed one stays where it is. */
export interface Box {
  x: number
  y: number
  width: number
  height: number
  fixed?: boolean
}

const turns = 60
/** Further from its place a pin would mislead. */
const farthest = 64

/** How far to move each box, in pixels to the right and down. */
export function spread(boxes: Box[]): [number, number][] {
  const at = boxes.map((b) => ({ ...b }))
  for (let turn = 0; turn < turns; turn++) {
    let moved = false
    for (let i = 0; i < at.length; i++) {
      for (let k = i + 1; k < at.length; k++) {
        const a = at[i] as Box
        const b = at[k] as Box
        const dx = b.x - a.x
        const dy = b.y - a.y
        const overX = (a.width + b.width) / 2 - Math.abs(dx)
        const overY = (a.height + b.height) / 2 - Math.abs(dy)
        if (overX <= 0.5 || overY <= 0.5 || (a.fixed && b.fixed)) continue
        moved = true
        // Along the shorter way; of two on one spot the later goes to the right.
        const alongX = overX < overY || (dx === 0 && dy === 0)
        const by = alongX ? (dx < 0 ? -overX : overX) : dy < 0 ? -overY : overY
        const [shareA, shareB] = a.fixed ? [0, 1] : b.fixed ? [1, 0] : [0.5, 0.5]
        if (alongX) {
          a.x -= by * shareA
          b.x += by * shareB
        } else {
          a.y -= by * shareA
          b.y += by * shareB
        }
      }
    }
    if (!moved) break
  }
  return boxes.map((b, i) => {
    const to = at[i] as Box
    const [x, y] = [to.x - b.x, to.y - b.y]
    const far = Math.hypot(x, y)
    const scale = far > farthest ? farthest / far : 1
    return [Math.round(x * scale), Math.round(y * scale)]
  })
}
