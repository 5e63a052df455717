import AxeBuilder from '@axe-core/playwright'
import { type Browser, expect, type Page, test } from '@playwright/test'
import { officeOfFile } from './office.ts'

/**
 * The review page in a real browser, against the whole server: twenty past seven of a morning on which Harbor Hall
 * sets up, opens and loses its tabulator, and Gull Point's opening is written in from paper three quarters late.
 */
const office = officeOfFile({ at: '06:00' })
const RUNA = { id: 'p-runa', name: 'Runa', role: 'supervisor' } as const

const slider = (page: Page) => page.getByRole('slider', { name: 'Instant of the day' })
const band = (page: Page) => page.getByText(/^Review: the county/)
const row = (page: Page, code: string) => page.locator(`#row-${code}`)
const foot = (page: Page) => page.getByText(/^picture of/)

/** The review with its first picture, in a browser of Runa's own. */
async function review(browser: Browser, query = '', options = {}): Promise<Page> {
  const context = await browser.newContext({
    viewport: { width: 1366, height: 768 },
    colorScheme: 'light',
    ...options,
  })
  const page = await context.newPage()
  await page.goto(await office.ask('link', RUNA))
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.waitForURL(/\/desk/)
  await page.goto(`${office.url}/review?day=${office.day}${query}`)
  await band(page).waitFor()
  return page
}

test.beforeAll(async () => {
  await office.say('harbor-hall', 'TeamReported', { present: 9, missing: [] })
  await office.ask('playTo', '06:31')
  await office.say('harbor-hall', 'PollsOpened', {})
  await office.ask('playTo', '07:00')
  await office.say('harbor-hall', 'EquipmentWentDown', { equipment: 'T-101' })
  await office.say('harbor-hall', 'EmergencySlotOpened', {})
  await office.say('harbor-hall', 'CountsReported', { checkedIn: 61, inLine: 7 })
  await office.ask('playTo', '07:15')
  const answer = await fetch(`${office.url}/api/v1/days/${office.day}/commands`, {
    method: 'POST',
    headers: {
      'Content-Type': 'application/json',
      Authorization: `Bearer ${await office.ask('token', RUNA)}`,
    },
    body: JSON.stringify({
      id: crypto.randomUUID(),
      kind: 'RecordReports',
      body: {
        precinct: 'gull-point',
        via: 'paper',
        spoke: 'precinct lead',
        reports: [{ kind: 'PollsOpened', at: '2026-11-03T11:30:00Z', body: {} }],
      },
    }),
  })
  expect(await answer.json()).toMatchObject({ ok: true })
  await office.ask('playTo', '07:20')
})

test('a supervisor chooses the day and sees it as the office knew it; a rover may not', async ({
  browser,
}) => {
  const page = await review(browser)
  await page.goto(`${office.url}/review`)
  await page.getByRole('link', { name: /Ellery County/ }).click()
  await expect(band(page)).toHaveText(/as the office knew it at 07:\d\d on Nov 3/)
  await expect(page.getByText('Not live.')).toBeVisible()
  await expect(page.getByRole('link', { name: 'Review' })).toHaveAttribute('aria-current', 'page')
  await page.context().close()

  const rover = await browser.newContext()
  const theirs = await rover.newPage()
  await theirs.goto(await office.ask('link', { id: 'p-ana', name: 'Ana', role: 'rover' }))
  await theirs.getByRole('button', { name: 'Sign in' }).click()
  await theirs.goto(`${office.url}/review?day=${office.day}`)
  await expect(band(theirs)).toHaveCount(0)
  await expect(theirs.getByText('Harbor Hall')).toHaveCount(0)
  await rover.close()
})

test('by keyboard back to before the opening: the standings differ, and the address brings them back', async ({
  browser,
}) => {
  const page = await review(browser)
  await page.getByRole('searchbox', { name: 'Search precincts' }).fill('Harbor Hall')
  await expect(row(page, 'harbor-hall')).toContainText('silent,')
  await expect(page.getByRole('article', { name: 'Harbor Hall' })).toBeVisible()
  await slider(page).focus()
  await page.keyboard.press('Home')
  for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight')
  await expect(band(page)).toHaveText('Review: the county as the office knew it at 06:03 on Nov 3.')
  await expect(slider(page)).toHaveAttribute('aria-valuetext', '06:03 on Tue, Nov 3')
  await expect(row(page, 'harbor-hall')).toContainText('setting up')
  await expect(row(page, 'harbor-hall')).not.toContainText('silent,')
  const words = await foot(page).textContent()
  expect(words).toMatch(/^picture of 06:03:00, entry \d+, hash [0-9a-f]{16}$/)
  const address = page.url()
  expect(address).toContain('&at=2026-11-03T11:03:00.000Z&view=known')

  await page.reload()
  await band(page).waitFor()
  await expect(foot(page)).toHaveText(words!)
  await page.getByRole('searchbox', { name: 'Search precincts' }).fill('Harbor Hall')
  await expect(row(page, 'harbor-hall')).toContainText('setting up')
  expect(page.url()).toBe(address)
  await page.context().close()
})

test('as happened shows what was told late, counts what was not known then, and opens it', async ({
  browser,
}) => {
  const page = await review(browser, '&at=2026-11-03T12:00:00Z')
  await page.getByRole('searchbox', { name: 'Search precincts' }).fill('Gull Point')
  await expect(row(page, 'gull-point')).toContainText('not heard')
  await page.getByRole('radio', { name: 'As happened' }).check()
  await expect(band(page)).toContainText('as it really stood at 07:00')
  await expect(row(page, 'gull-point')).not.toContainText('not heard')
  await expect(row(page, 'gull-point')).toContainText('open')
  await expect(page.getByText('1 precinct differs from what was known then:')).toBeVisible()
  await page.getByText('1 precinct differs').locator('..').getByRole('button').click()
  await expect(page.getByRole('heading', { name: 'Gull Point', level: 2 })).toBeVisible()
  await expect(page.getByText(/polls opened/i).first()).toBeVisible()
  await page.getByRole('radio', { name: 'As known' }).check()
  await expect(band(page)).toContainText('as the office knew it at 07:00')
  await expect(page.getByText('differs from what was known')).toHaveCount(0)
  await page.context().close()
})

test('dragging asks for few of the instants passed over; a precinct’s entries reach up to the one it stops at', async ({
  browser,
}) => {
  const page = await review(browser)
  await page.getByRole('searchbox', { name: 'Search precincts' }).fill('Harbor Hall')
  await row(page, 'harbor-hall').click()
  const entries = page.getByRole('region', { name: 'Entries' })
  await expect(entries.getByText(/slot opened/i)).toBeVisible()
  const asked: string[] = []
  page.on('request', request => {
    if (request.url().includes('/state?')) asked.push(request.url())
  })
  const box = (await slider(page).boundingBox())!
  const [from, to, y] = [box.x + box.width - 9, box.x + box.width * 0.3, box.y + box.height / 2]
  await page.mouse.move(from, y)
  const since = performance.now()
  await page.mouse.down()
  for (let i = 1; i <= 40; i++) {
    await page.mouse.move(from + ((to - from) * i) / 40, y)
    await page.waitForTimeout(10)
  }
  await page.mouse.up()
  await expect(band(page)).toContainText('at 06:2')
  expect(asked.length).toBeGreaterThan(0)
  // Five a second, and never one for each of the forty places passed over.
  const seconds = (performance.now() - since) / 1_000
  expect(asked.length).toBeLessThanOrEqual(Math.min(39, seconds * 5 + 2))
  await expect(entries.getByText(/slot opened/i)).toHaveCount(0)
  await expect(entries.getByText(/team/i).first()).toBeVisible()
  await page.context().close()
})

test('its keys stand in the help; play goes on by itself and pauses', async ({ browser }) => {
  const page = await review(browser)
  await page.keyboard.press('?')
  const help = page.getByRole('dialog', { name: 'Keys' })
  await expect(help.getByText('a minute earlier, a minute later')).toBeVisible()
  await expect(help.getByText('take the call', { exact: false })).toHaveCount(0)
  await page.keyboard.press('Escape')
  await slider(page).focus()
  await page.keyboard.press('Home')
  await page.getByRole('button', { name: 'Play' }).click()
  const before = await slider(page).getAttribute('aria-valuetext')
  await expect(slider(page)).not.toHaveAttribute('aria-valuetext', before!)
  await page.getByRole('button', { name: 'Pause' }).click()
  await expect(page.getByRole('button', { name: 'Play' })).toBeVisible()
  await page.context().close()
})

const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

for (const [colorScheme, width, query] of [
  ['light', 1366, '&view=happened&at=2026-11-03T12:00:00Z'],
  ['dark', 1024, ''],
] as const)
  test(`has no accessibility fault that a checker finds, ${colorScheme}, at ${width}, and doesn’t scroll sideways`, async ({
    browser,
  }) => {
    test.setTimeout(180_000)
    const page = await review(browser, query, { colorScheme, viewport: { width, height: 768 } })
    const { violations, passes } = await new AxeBuilder({ page }).withTags(RULES).analyze()
    expect(violations.map(v => `${v.id}: ${v.nodes.map(n => n.target).join(' ')}`)).toEqual([])
    expect(passes.length).toBeGreaterThan(5)
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
    expect(wide).toBeLessThanOrEqual(0)
    await page.context().close()
  })
