import AxeBuilder from '@axe-core/playwright'
import { type Browser, expect, type Page, test } from '@playwright/test'
import { atDesk, IMRE, officeOfFile } from './office.ts'

/** The receiving table and the change of shift in a real browser, against the whole server: an evening in Ellery. */
const office = officeOfFile({ at: '20:40', morning: true })
const NELL = { id: 'p-nell', name: 'Nell', role: 'receiving', post: 'county-depot' } as const
const OMAR = { id: 'p-omar', name: 'Omar', role: 'receiving' } as const
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

async function atTable(
  browser: Browser,
  person: typeof NELL | typeof OMAR = NELL,
  colorScheme: 'light' | 'dark' = 'light',
) {
  const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, colorScheme })
  const page = await context.newPage()
  await page.goto(await office.ask('link', person))
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.waitForURL(url => url.pathname !== '/enter')
  await page.goto(`${office.url}/receiving`)
  await page.getByRole('heading', { name: 'Receiving, Ellery County' }).waitFor()
  await page.getByText(/of 64 checked in/).waitFor()
  return page
}
const leaves = async (precinct: string, seals: string[]) => {
  await office.say(precinct, 'PollsClosed', {})
  await office.say(precinct, 'ReturnDeparted', {
    carriers: 2,
    items: ['ballots-voted', 'tapes', 'memory-device'],
    seals,
  })
}
const card = (page: Page, name: string) => page.getByRole('article', { name, exact: true })
const entries = async (precinct: string, kind: string) =>
  (await office.ask('entries', precinct)).filter(e => e.kind === kind)

async function findsNothing(page: Page, what: string) {
  const { violations, passes } = await new AxeBuilder({ page }).withTags(RULES).analyze()
  const found = violations.map(v => ({
    rule: v.id,
    at: v.nodes.map(n => `${n.target.join(' ')}: ${n.failureSummary ?? ''}`),
  }))
  expect.soft(found, what).toEqual([])
  expect(passes.length, `${what}: axe looked at something`).toBeGreaterThan(5)
}

test('a return is checked in with the keyboard alone; one wrong seal is told at once and is on the desk’s call list', async ({
  browser,
}) => {
  await leaves('seawall', ['R7001', 'R7002'])
  const page = await atTable(browser)
  await expect(page.getByRole('region', { name: 'On the way' })).toContainText(
    /Seawall\s*left 20:\d\d, estimated at County Depot/,
  )
  await page.getByLabel(/code or name/).focus()
  await page.keyboard.type('seawall')
  await page.keyboard.press('Enter')
  await expect(page.getByRole('heading', { name: 'Check in Seawall' })).toBeFocused()
  await expect(page.getByText('Read each from the seal itself')).toBeVisible()
  await expect(page.locator('body')).not.toContainText('R7001')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  await page.keyboard.type('1')
  await expect(page.getByText(/may want two people together/)).toBeVisible()
  await page.keyboard.press('Backspace')
  await page.keyboard.type('2')
  await page.keyboard.press('Tab')
  await page.keyboard.type('Two clerks of the precinct')
  for (let i = 0; i < 3; i++) {
    await page.keyboard.press('Tab')
    await page.keyboard.press('Space')
  }
  await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  await expect(page.getByLabel(/Number as it stands/)).toBeFocused()
  for (const seal of ['R7001', 'r7001', 'R7003']) {
    await page.keyboard.press('Control+A')
    await page.keyboard.type(seal)
    await page.keyboard.press('Enter')
    if (seal === 'r7001') await expect(page.getByText(/is in the list already, as number 1/)).toBeVisible()
  }
  await expect(page.getByText('2 seals typed.')).toBeVisible()
  await page.getByRole('button', { name: 'Look it over' }).press('Enter')
  await expect(page.getByRole('heading', { name: 'Look it over' })).toBeFocused()
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  await expect(page.getByRole('heading', { name: 'Seawall is checked in' })).toBeFocused()
  const differs = page.getByRole('region', { name: 'Return' }).getByRole('alert')
  await expect(differs).toContainText('Seal that should be on it and was not found: R7002.')
  await expect(differs).toContainText('Seal that was found and should not be on it: R7003.')
  await expect(differs).toContainText('The desk has it on its call list already. Call the desk now')
  const [written] = await entries('seawall', 'ReturnReceived')
  expect(written).toMatchObject({
    body: {
      items: ['ballots-voted', 'tapes', 'memory-device'],
      seals: ['R7001', 'R7003'],
      carriers: 2,
      station: 'county-depot',
    },
    detail: { deliveredBy: 'Two clerks of the precinct' },
    origin: { via: 'desk', wrote: NELL.id },
  })

  const desk = await atDesk(browser, office, IMRE)
  await expect(card(desk, 'Seawall')).toContainText('Return differs')
  await expect(card(desk, 'Seawall')).toContainText('missing seals: R7002; other seals: R7003')
  await desk.getByLabel('Search precincts').fill('Seawall')
  await desk.locator('#row-seawall').click()
  const drawer = desk.getByRole('complementary', { name: 'Precinct' })
  await expect(drawer.getByText(/missing seals: R7002/)).toBeVisible()
  await expect(
    drawer.getByText(/Return received at county-depot, brought by 2 people: 3 items, 2 seals/),
  ).toBeVisible()
  await expect(drawer.getByText('Two clerks of the precinct')).toHaveCount(0)
  await desk.context().close()

  const [receipt] = await Promise.all([
    page.context().waitForEvent('page'),
    page.getByRole('link', { name: 'Receipt to print' }).click(),
  ])
  await expect(receipt.getByRole('heading', { name: `Receipt R-${written!.position}` })).toBeVisible()
  const paper = receipt.getByRole('main')
  await expect(paper).toContainText(`entry ${written!.position.toLocaleString('en-US')}, ${written!.hash}`)
  await expect(paper).toContainText(/Checked in2026-11-03 20:\d\d:\d\d, at County Depot, by Nell/)
  await expect(paper).toContainText('Seal that should be on it and was not found: R7002.')
  await expect(paper).toContainText('Brought by2 people')
  await expect(paper.getByText('Two clerks')).toHaveCount(0)
  await findsNothing(receipt, 'receipt')
  await receipt.emulateMedia({ media: 'print' })
  await expect(receipt.getByRole('button', { name: 'Print' })).toBeHidden()
  for (const format of ['Letter', 'A4'] as const) {
    const pdf = await receipt.pdf({ format })
    expect(pagesOf(pdf), format).toBe(1)
  }
  await page.context().close()
})

test('two clerks with one return on their tables: the second sees that it is received, and by whom', async ({
  browser,
}) => {
  await leaves('fog-bell', ['R7100'])
  const nell = await atTable(browser, NELL)
  const omar = await atTable(browser, OMAR)
  for (const page of [nell, omar]) {
    await page.getByRole('button', { name: /^Fog Bell/ }).click()
    await page.getByLabel('How many people brought it').fill('2')
    for (const item of ['Voted ballots', 'Tapes', 'Memory device']) await page.getByLabel(item).check()
    await page.getByLabel(/Number as it stands/).fill('R7100')
    await page.getByRole('button', { name: 'Look it over' }).click()
  }
  await nell.getByRole('button', { name: 'Check in', exact: true }).click()
  await expect(nell.getByText('All as sent: 3 items, 1 seal.')).toBeVisible()
  await expect(omar.getByText(/^Already checked in at 20:\d\d by Nell\.$/)).toBeVisible()
  await expect(omar.getByRole('button', { name: 'Check in', exact: true })).toBeDisabled()
  expect(await entries('fog-bell', 'ReturnReceived')).toHaveLength(1)
  await omar.getByRole('button', { name: 'Look at what stands' }).click()
  await expect(omar.getByText('All as sent: 3 items, 1 seal.')).toBeVisible()
  await omar.getByRole('button', { name: 'Check in again' }).click()
  await expect(omar.getByText(/Already checked in at 20:\d\d by Nell\. Check in again\?/)).toBeVisible()
  await nell.context().close()
  await omar.context().close()
})

test('P14 a clerk of the receiving station gets the table and neither desk nor hand-over sheet', async ({
  browser,
}) => {
  const page = await atTable(browser)
  for (const path of ['/desk', `/desk/shift?day=${office.day}`, '/review']) {
    await page.goto(`${office.url}${path}`)
    await expect(page.getByRole('heading', { name: /is not for your role/ })).toBeVisible()
  }
  await page.context().close()
})

for (const light of ['light', 'dark'] as const)
  test(`the receiving table by ${light}: list, form with errors, review, difference`, async ({ browser }) => {
    const precinct = light === 'light' ? 'kelp-bay' : 'gull-point'
    const name = light === 'light' ? 'Kelp Bay' : 'Gull Point'
    await leaves(precinct, ['R7200'])
    const page = await atTable(browser, NELL, light)
    await findsNothing(page, 'list')
    await page.getByRole('button', { name: new RegExp(`^${name}`) }).click()
    await page.getByRole('button', { name: 'Look it over' }).click()
    await expect(page.getByLabel('How many people brought it')).toBeFocused()
    await findsNothing(page, 'form with errors')
    await page.getByLabel('How many people brought it').fill('1')
    await page.getByLabel('Tapes').check()
    await page.getByRole('button', { name: 'Look it over' }).click()
    await findsNothing(page, 'review')
    await page.getByRole('button', { name: 'Check in', exact: true }).click()
    await expect(page.getByText('It differs from what was sent.')).toBeVisible()
    await page.getByRole('button', { name: 'Check in again' }).click()
    await findsNothing(page, 'difference')
    await page.setViewportSize({ width: 390, height: 844 })
    await findsNothing(page, 'narrow')
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390)
    await page.context().close()
  })

test('the hand-over sheet says who holds what, prints on letter and A4, and gives everything back', async ({
  browser,
}) => {
  await office.say('reed-bank', 'HelpRequested', { about: 'power' })
  await office.say('sheepgate', 'HelpRequested', { about: 'access' })
  const desk = await atDesk(browser, office, IMRE)
  await card(desk, 'Reed Bank').getByRole('button', { name: 'Take the call' }).click()
  await expect(card(desk, 'Reed Bank').getByRole('button', { name: 'Log how it ended' })).toBeVisible()
  const [shift] = await Promise.all([
    desk.context().waitForEvent('page'),
    desk.getByRole('link', { name: 'Change of shift' }).click(),
  ])
  const paper = shift.getByRole('main')
  await expect(paper.getByRole('row', { name: /^Imre Reed Bank/ })).toBeVisible()
  await expect(paper.getByRole('row', { name: /^Sheepgate now\./ })).toBeVisible()
  await expect(paper).toContainText(/entry [\d,]+, [0-9a-f]{64}/)
  await findsNothing(shift, 'hand-over sheet')
  await shift.emulateMedia({ media: 'print' })
  await expect(shift.getByRole('button', { name: /^Give back/ })).toBeHidden()
  for (const format of ['Letter', 'A4'] as const) {
    const pdf = await shift.pdf({ format })
    expect(pagesOf(pdf), format).toBeGreaterThan(0)
    const wide = await shift.evaluate(() => [document.documentElement.scrollWidth, innerWidth])
    expect(wide[0], format).toBeLessThanOrEqual(wide[1]!)
  }
  await shift.emulateMedia({ media: 'screen' })
  await shift.getByRole('button', { name: 'Give back all that I hold (1)' }).click()
  await shift.getByRole('button', { name: 'Yes, give back the call' }).click()
  await expect(shift.getByText(/^Given back: 1 precinct/)).toBeVisible()
  await expect(paper.getByRole('row', { name: /^Reed Bank now\./ })).toBeVisible()
  expect(await entries('reed-bank', 'CallHandedOver')).toHaveLength(1)
  await desk.context().close()
})

test('the situation sheet prints in the chosen order, and the desk’s foot says when the next is due', async ({
  browser,
}) => {
  const desk = await atDesk(browser, office, IMRE)
  const sheet = await desk.context().newPage()
  await sheet.goto(`${office.url}/desk/sheet?day=${office.day}`)
  await expect(sheet.getByRole('heading', { name: 'Precincts, as in the plan' })).toBeVisible()
  await expect(sheet.getByText(/2026-11-03/)).toBeVisible()
  await sheet.getByLabel('Order').selectOption('name')
  await expect(sheet.getByRole('heading', { name: 'Precincts, by name' })).toBeVisible()
  const names = await sheet.getByRole('table').last().locator('tbody th').allTextContents()
  expect(names).toEqual([...names].sort((a, b) => a.localeCompare(b)))
  expect(names).toHaveLength(64)
  await sheet.evaluate(() => window.dispatchEvent(new Event('beforeprint')))
  const kept = await sheet.evaluate(day => localStorage.getItem(`sunup-sheet:${day}`), office.day)
  const printed = Number(kept)
  expect(printed).toBeGreaterThan(Date.parse('2026-11-04T01:30:00Z'))
  await desk.reload()
  await expect(desk.getByRole('contentinfo')).toContainText('Situation sheet')
  await expect(desk.getByText(/^Sheet printed/)).toHaveCount(0)
  await desk.evaluate(
    ([day, at]) => localStorage.setItem(`sunup-sheet:${day}`, String(Number(at) - 31 * 60_000)),
    [office.day, String(printed)] as const,
  )
  await desk.reload()
  await expect(desk.getByText(/^Sheet printed 20:\d\d, next due 20:\d\d$/)).toBeVisible()
  await desk.context().close()
})

/** How many sheets of paper a PDF has. */
function pagesOf(pdf: Buffer): number {
  return (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length
}
