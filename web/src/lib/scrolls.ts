// A box that scrolls must be reachable by keyboard, one that does not must not be a stop on the way
// (WCAG 2.1.1): the box gets into the order of Tab exactly while its content is wider than itself.

/** An attachment for boxes with the class "scroll". */
export function scrolls(box: HTMLElement): () => void {
  const look = (): void => {
    if (box.scrollWidth > box.clientWidth + 1) box.tabIndex = 0
    else box.removeAttribute('tabindex')
  }
  const watch = new ResizeObserver(look)
  watch.observe(box)
  for (const child of box.children) watch.observe(child)
  look()
  return () => watch.disconnect()
}
