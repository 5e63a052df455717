/** A ref for what has just been opened: brings the whole of it into sight where it is below the edge. */
export function intoSight(element: HTMLElement | null): void {
  element?.scrollIntoView?.({ block: 'nearest' })
}
