/** Runs when the page has loaded and nothing else is to be done: what is for later doesn't slow what is needed now. */
export function whenIdle(then: () => void): void {
  const idle = () => ('requestIdleCallback' in window ? requestIdleCallback(then) : setTimeout(then, 1_000))
  if (document.readyState === 'complete') idle()
  else window.addEventListener('load', idle, { once: true })
}
