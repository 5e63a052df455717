import { type BrowserContext, expect, type Page, test } from '@playwright/test'
import { officeOfFile } from './office.ts'
import { enrolAt, openPage, TABLET } from './precinctPage.ts'

/**
 * A bad day for one tablet: five hundred lines reported by taps, while the network is cut, the server killed, the page
 * loaded anew and the tab killed in the middle of it, twenty times. What the page said is saved stands in the log:
 * once each, in order, at its time.
 */
const office = officeOfFile({ at: '09:30', through: true })

const REPORTS = 500
const BREAKS = ['cut', 'kill the server', 'load anew', 'kill the tab'] as const
const ROUNDS = 5
const EACH = REPORTS / (BREAKS.length * ROUNDS)

/** A report whose saving the page has shown, and when the last tap was, by this machine's clock. */
type Saved = { inLine: number; at: number }

/** Taps one line report after the other, as fast as the page asks; tells each that it says is saved. */
async function tapLines(page: Page, from: number, howMany: number) {
  await page.evaluate(
    async ([first, many]) => {
      const until = async <T>(find: () => T | null | undefined | false): Promise<T> => {
        for (;;) {
          const found = find()
          if (found) return found
          await new Promise(resolve => setTimeout(resolve, 4))
        }
      }
      const shown = (selector: string) => document.querySelector<HTMLElement>(selector)
      const heading = () => shown('h1')?.textContent ?? ''
      for (let n = first; n < first + many; n++) {
        location.hash = '#flow/line'
        await until(() => heading().startsWith('How many people are in line'))
        const field = await until(() => shown('.pp-field') as HTMLInputElement | null)
        Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!.call(field, String(n))
        field.dispatchEvent(new Event('input', { bubbles: true }))
        await until(() => field.value === String(n))
        shown('form button[type=submit]')!.click()
        await until(() => heading().startsWith('How many check-in stations'))
        const at = Date.now()
        shown('form .pp-quiet')!.click()
        await until(() => heading() === 'Line reported')
        await (window as unknown as { saved(inLine: number, at: number): Promise<void> }).saved(n, at)
        location.hash = ''
        await until(() => heading() !== 'Line reported')
      }
    },
    [from, howMany] as const,
  )
}

test('P1 P2 P3 P5 P7 five hundred reports across twenty cuts, kills and reloads are in the log once each, in order, at their times', async ({
  browser,
}) => {
  test.setTimeout(300_000)
  let page = await openPage(browser, office, TABLET)
  const context = page.context()
  const saved: Saved[] = []
  await context.exposeBinding('saved', (_source, inLine: number, at: number) => {
    saved.push({ inLine, at })
  })
  await page.reload()
  await enrolAt(page, office, 'fog-bell', 'Fog Bell')
  await expect(page.getByText(/^Office has everything/)).toBeVisible()
  // From here on the page opens without a network, too.
  await expect(page.getByText('Works without network')).toBeVisible()

  for (let round = 0; round < ROUNDS; round++)
    for (const what of BREAKS) {
      const next = (saved.at(-1)?.inLine ?? -1) + 1
      // The break comes while taps are under way.
      const before = EACH - 10
      await tapLines(page, next, before)
      const tapping = tapLines(page, next + before, 10).catch(() => undefined)
      await expect.poll(() => saved.length, { intervals: [10] }).toBeGreaterThanOrEqual(next + before + 3)
      page = await happen(what, page, context, tapping)
      const rest = (round * BREAKS.length + BREAKS.indexOf(what) + 1) * EACH - (saved.at(-1)!.inLine + 1)
      if (rest > 0) await tapLines(page, saved.at(-1)!.inLine + 1, rest)
    }

  await expect(page.getByText(/^Office has everything, last heard you/)).toBeVisible({ timeout: 90_000 })
  const told = (await office.ask('said', 'fog-bell')).filter(e => e.kind === 'LineReported')
  expect(told.map(e => e.number)).toEqual(told.map((_, i) => i + 1))
  // A report that was saved in the moment of a kill may stand there without the page having had time to say so.
  const lines = told.map(e => Number(e.body.inLine))
  expect(lines).toEqual([...lines].sort((a, b) => a - b))
  expect(new Set(saved.map(s => s.inLine)).size).toBe(REPORTS)
  expect([...new Set(lines)]).toEqual(Array.from({ length: REPORTS }, (_, i) => i))
  expect(told.length - REPORTS).toBeLessThanOrEqual(2 * ROUNDS)

  const tappedAt = new Map(saved.map(s => [s.inLine, s.at]))
  // Of one that was said again after a kill the later one is what the page said is saved.
  const last = new Map(told.map(e => [Number(e.body.inLine), e]))
  const ahead = [...last.values()].map(e => Date.parse(e.occurredAt) - tappedAt.get(Number(e.body.inLine))!)
  const middle = [...ahead].sort((a, b) => a - b)[Math.floor(ahead.length / 2)]!
  expect(ahead.filter(ms => Math.abs(ms - middle) > 2_000)).toEqual([])
  expect(await office.ask('verify', null)).toBe(true)
  await context.close()
})

/** One break, in the middle of the taps, and the page that goes on after it. */
async function happen(
  what: (typeof BREAKS)[number],
  page: Page,
  context: BrowserContext,
  tapping: Promise<void>,
): Promise<Page> {
  switch (what) {
    case 'cut':
      await context.setOffline(true)
      await tapping
      await context.setOffline(false)
      return page
    case 'kill the server':
      await office.kill()
      await Promise.all([tapping, office.restart()])
      return page
    case 'load anew':
      await Promise.all([page.reload(), tapping])
      break
    case 'kill the tab': {
      const other = await context.newPage()
      // The process of the page ends as if its memory had run out: nothing of it runs any more.
      const session = await context.newCDPSession(page)
      await Promise.race([session.send('Page.crash').catch(() => undefined), tapping])
      await page.close()
      await other.goto(`${office.url}/precinct`)
      page = other
    }
  }
  await expect(page.getByText('Fog Bell', { exact: true }).first()).toBeVisible()
  return page
}
