/** The ref of a heading: the same function at every drawing, so that it takes the focus only when it appears. */
export function focusOnce(heading: HTMLElement | null): void {
  heading?.focus()
}
