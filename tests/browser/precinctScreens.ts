import type { Page } from '@playwright/test'

/** What a program can measure of a screen of the precinct page. */
export type Measured = {
  /** Targets under 44 × 44 CSS px; a box to tick counts with its label. */
  small: string[]
  /** Controls without an accessible name. */
  nameless: string[]
  /** Text under 18 px. */
  tiny: string[]
  /** How many px the page is wider than its window. */
  over: number
  targets: number
}

export const measure = (page: Page): Promise<Measured> =>
  page.evaluate(() => {
    const seen = (e: Element) => {
      const box = e.getBoundingClientRect()
      return e.checkVisibility({ visibilityProperty: true }) && box.width > 1 && box.height > 1
    }
    const called = (e: Element) => {
      const by = e.getAttribute('aria-labelledby')?.split(' ') ?? []
      const labels =
        e instanceof HTMLInputElement || e instanceof HTMLTextAreaElement ? [...(e.labels ?? [])] : []
      const parts = [
        e.getAttribute('aria-label'),
        ...by.map(id => document.getElementById(id)?.textContent),
        ...labels.map(l => l.textContent),
        e.textContent,
      ]
      return parts.filter(Boolean).join(' ').trim()
    }
    const found = { small: [] as string[], nameless: [] as string[], tiny: [] as string[] }
    const controls = [...document.querySelectorAll('button, a[href], input, textarea, select, summary')]
    const shown = controls.filter(seen)
    for (const e of shown) {
      const { width, height } = (e.closest('label') ?? e).getBoundingClientRect()
      if (width < 44 || height < 44) found.small.push(`${called(e)}: ${width} × ${height}`)
      if (called(e) === '') found.nameless.push(e.outerHTML.slice(0, 80))
    }
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
    for (let node = texts.nextNode(); node; node = texts.nextNode()) {
      const of = node.parentElement!
      if (node.textContent!.trim() === '' || of.closest('svg, script, style') || !seen(of)) continue
      if (Number.parseFloat(getComputedStyle(of).fontSize) < 18) found.tiny.push(node.textContent!)
    }
    const over = document.documentElement.scrollWidth - innerWidth
    return { ...found, over, targets: shown.length }
  })

/** Makes all text twice as large, and nothing else: as a browser's own setting for text does. */
export const enlargeText = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const all = [...document.querySelectorAll<HTMLElement>('.pp *')].filter(e => !e.dataset.larger)
    const sizes = all.map(e => Number.parseFloat(getComputedStyle(e).fontSize))
    all.forEach((e, i) => {
      e.dataset.larger = 'yes'
      e.style.fontSize = `${sizes[i]! * 2}px`
    })
  })

/** Goes to a screen by its address, and waits until it is drawn. */
export async function goTo(page: Page, screen: string): Promise<void> {
  await page.evaluate(
    hash =>
      new Promise<void>(resolve => {
        location.hash = hash
        requestAnimationFrame(() => requestAnimationFrame(() => resolve()))
      }),
    screen,
  )
}
