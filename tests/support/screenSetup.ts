/** What browsers have and jsdom has not: the system's colour preference, here always light. */
window.matchMedia ??= query =>
  Object.assign(new EventTarget(), {
    matches: false,
    media: query,
    onchange: null,
    addListener: () => undefined,
    removeListener: () => undefined,
  }) as MediaQueryList
