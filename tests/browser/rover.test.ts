import { AxeBuilder } from '@axe-core/playwright'
import { type Browser, type BrowserContextOptions, expect, type Page, test } from '@playwright/test'
import { atDesk, IMRE, officeOfFile } from './office.ts'

/**
 * Two people in two browsers: the desk sends, a rover goes. A quiet morning of Ellery County, with a tabulator down
 * at Heron Creek.
 */
const office = officeOfFile({ at: '09:30', morning: true })
// Two browsers and a server on two cores: the longest took 72 s beside other work.
test.describe.configure({ timeout: 150_000 })

const ANA = { id: 'p-ana', name: 'Ana', role: 'rover', post: 'ana' } as const
/** Of Heron Creek, in Ellery's plan. */
const HERON_TABULATOR = 'T371'
const PHONE: BrowserContextOptions = { viewport: { width: 390, height: 844 }, hasTouch: true }

/** A rover's phone, signed in by a link; a rover begins at their errands, or goes there. */
async function onTheRoad(
  browser: Browser,
  person: Parameters<typeof atDesk>[2] = ANA,
  options: BrowserContextOptions = {},
): Promise<Page> {
  const context = await browser.newContext({ colorScheme: 'light', ...PHONE, ...options })
  const page = await context.newPage()
  await page.goto(await office.ask('link', person!))
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.waitForURL(url => !url.pathname.startsWith('/enter'))
  await page.goto(`${office.url}/rover`)
  return page
}

const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
const errandTo = (page: Page, place: string) => page.getByRole('article', { name: place })
const rovers = (page: Page) => page.getByRole('complementary').getByRole('listitem')
const ana = (page: Page) => rovers(page).filter({ hasText: '555-0170' })
const kindsOf = async (precinct: string) =>
  (await office.ask('entries', precinct)).map(e => e.kind).filter(kind => kind.startsWith('Rover'))

/** From the desk's own forms: opens the drawer of a precinct and sends Ana there. */
async function sendAna(desk: Page, precinct: string, what: string) {
  await open(desk, precinct)
  await desk.keyboard.press('r')
  const form = desk.getByRole('form', { name: 'Send a rover' })
  await form.getByRole('radio', { name: /^Ana/ }).check()
  await form.getByLabel(/What to do and bring/).fill(what)
  await form.getByRole('button', { name: 'Send' }).click()
  await expect(form).toHaveCount(0)
}
async function open(desk: Page, precinct: string) {
  await desk.getByLabel('Search precincts').fill(precinct)
  await desk.getByRole('listbox', { name: 'Precincts' }).getByRole('option').first().click()
}
const closeDrawer = (desk: Page) => desk.getByRole('button', { name: 'Close', exact: true }).click()

async function isAccessible(page: Page, part = 'body') {
  const { violations } = await new AxeBuilder({ page })
    .include(part)
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'])
    .analyze()
  expect(violations.map(v => `${v.id}: ${v.nodes.map(n => n.target.join(' ')).join(', ')}`)).toEqual([])
}

test('an errand goes from the desk to the place and back, and each sees the other’s step without a reload', async ({
  browser,
}) => {
  await office.say('heron-creek', 'EquipmentWentDown', { equipment: HERON_TABULATOR })
  const desk = await atDesk(browser, office)
  const road = await onTheRoad(browser)
  await expect(
    road.getByText('No errand now. The desk will send you one. Keep this page open.'),
  ).toBeVisible()
  let loads = 0
  for (const page of [desk, road]) page.on('load', () => loads++)

  // From the call's own card.
  const card = desk.getByRole('article', { name: 'Heron Creek', exact: true })
  await card.getByRole('button', { name: 'Send a rover' }).click()
  await card.getByRole('radio', { name: /^Ana/ }).check()
  await card.getByLabel(/What to do and bring/).fill('Bring the spare tabulator in the blue case.')
  await card.getByRole('button', { name: 'Send', exact: true }).click()
  await expect(card.getByText(/sent, not accepted yet, since/)).toBeVisible()
  await expect(card.getByRole('button', { name: 'Send a rover' })).toHaveCount(0)

  const errand = errandTo(road, 'Heron Creek Chapel')
  await expect(errand.getByText('Bring the spare tabulator in the blue case.')).toBeVisible()
  await expect(errand.getByText('Tabulator down')).toBeVisible()
  await expect(errand.getByText(/straight-line estimate/)).toBeVisible()
  expect(await errand.getByRole('link', { name: 'Directions' }).getAttribute('href')).toMatch(
    /^geo:41\.\d+,-\d+\.\d+\?q=/,
  )

  for (const [button, here, there] of [
    ['Accept', 'accepted, has not set out, since', /accepted, has not set out/],
    ['On my way', 'on the way since', /on the way since \d\d:\d\d; expected about \d\d:\d\d/],
    ['Arrived', 'on site since', /on site since/],
  ] as const) {
    await press(road, button)
    await expect(errand.getByText(`The office has: ${here}`)).toBeVisible()
    await expect(ana(desk).getByText(there)).toBeVisible()
    await expect(card.getByText(there)).toBeVisible()
  }
  await press(road, 'Finished')
  await road.getByLabel(/A note for the office/).fill('The jam is cleared, it counts again.')
  await press(road, 'Finished')
  await expect(road.getByText('Heron Creek Chapel: finished at')).toBeVisible()
  await expect(road.getByText('The office has all you pressed.')).toBeVisible()
  await expect(ana(desk).getByText(/free, last at Heron Creek Chapel, \d\d:\d\d/)).toBeVisible()

  await card.getByRole('button', { name: 'Heron Creek' }).click()
  await expect(desk.getByText('“The jam is cleared, it counts again.”')).toBeVisible()
  await expect(desk.getByText('Rover Ana arrived')).toBeVisible()
  expect(loads).toBe(0)
  expect(await kindsOf('heron-creek')).toEqual([
    'RoverAssigned',
    'RoverAccepted',
    'RoverOnTheWay',
    'RoverArrived',
    'RoverFinished',
  ])
  for (const page of [desk, road]) await page.context().close()
})

test('what the desk took back meanwhile is refused to the rover, in words', async ({ browser }) => {
  const desk = await atDesk(browser, office)
  const road = await onTheRoad(browser)
  await sendAna(desk, 'quarry', 'Two packs of ballots.')
  await closeDrawer(desk)
  await expect(road.getByRole('article')).toHaveCount(1)
  await road.context().setOffline(true)
  await expect(road.getByText(/No link since/).first()).toBeVisible({ timeout: 45_000 })
  await press(road, 'On my way')
  await expect(road.getByText('One thing you pressed waits for the office.')).toBeVisible()
  await ana(desk).getByText('Ana rings: write it in').click()
  await ana(desk).getByRole('button', { name: 'Given back' }).click()
  await expect(ana(desk).getByText(/^free/)).toBeVisible()
  await road.context().setOffline(false)
  await expect(road.getByText('“On my way” was not taken: this errand is given back already.')).toBeVisible({
    timeout: 45_000,
  })
  await press(road, 'I have read it')
  await expect(road.getByText(/was not taken/)).toHaveCount(0)
  await expect(road.getByText(/No errand now/)).toBeVisible()
  expect(await kindsOf('quarry-lane')).toEqual(['RoverAssigned', 'RoverGaveBack'])
  for (const page of [desk, road]) await page.context().close()
})

test('P5: what was pressed without a link is sent when there is one again, once, in order, also over a reload', async ({
  browser,
}) => {
  const desk = await atDesk(browser, office)
  const road = await onTheRoad(browser)
  await sendAna(desk, 'gull point', 'Look at the line.')
  await closeDrawer(desk)
  const errand = road.getByRole('article')
  await expect(errand).toHaveCount(1)
  await road.context().setOffline(true)
  await expect(road.getByText(/No link since/).first()).toBeVisible({ timeout: 45_000 })
  await press(road, 'Accept')
  await press(road, 'On my way')
  await press(road, 'Arrived')
  await expect(road.getByText('3 things you pressed wait for the office.')).toBeVisible()
  await expect(errand.getByText(/“Arrived” waits for the link, pressed \d\d:\d\d\./)).toBeVisible()
  expect(await kindsOf('gull-point')).toEqual(['RoverAssigned'])

  // The phone is put away and the page comes up anew where there is a link.
  await road.goto('about:blank')
  await road.context().setOffline(false)
  await road.goto(`${office.url}/rover`)
  await expect(road.getByText(/The office has: on site since/)).toBeVisible({ timeout: 45_000 })
  await expect(road.getByText('The office has all you pressed.')).toBeVisible()
  await expect(ana(desk).getByText(/on site since/)).toBeVisible()
  const entries = (await office.ask('entries', 'gull-point')).filter(e => e.kind.startsWith('Rover'))
  expect(entries.map(e => e.kind)).toEqual([
    'RoverAssigned',
    'RoverAccepted',
    'RoverOnTheWay',
    'RoverArrived',
  ])
  // It counts when it was pressed, not when it was heard.
  const arrived = entries.at(-1)!
  expect(Date.parse(arrived.occurredAt)).toBeLessThan(Date.parse(arrived.recordedAt) - 500)
  await press(road, 'Give back')
  await press(road, 'I am needed elsewhere.')
  await press(road, 'Give it back')
  await expect(road.getByText(/No errand now/)).toBeVisible()
  for (const page of [desk, road]) await page.context().close()
})

test('who is no rover of this plan is told so plainly, and the desk’s people are led away', async ({
  browser,
}) => {
  const unposted = await onTheRoad(browser, { id: 'p-new', name: 'New', role: 'rover' })
  await expect(unposted.getByRole('heading', { name: 'No rover of the plan is yours yet' })).toBeVisible()
  await unposted.context().close()
  const strange = await onTheRoad(browser, { id: 'p-far', name: 'Far', role: 'rover', post: 'zed' })
  await expect(strange.getByRole('heading', { name: 'You are not in this day’s plan' })).toBeVisible()
  await strange.context().close()
  const imre = await onTheRoad(browser, IMRE)
  await expect(imre.getByRole('heading', { name: 'The errands page is not for your role' })).toBeVisible()
  await imre.context().close()
})

test('works by keyboard alone: sent with r, arrows and Ctrl+Enter, moved with Tab and Enter', async ({
  browser,
}) => {
  const desk = await atDesk(browser, office)
  const road = await onTheRoad(browser)
  await desk.getByLabel('Search precincts').fill('tollhouse')
  await desk.keyboard.press('Enter')
  await desk.getByRole('listbox', { name: 'Precincts' }).focus()
  await desk.keyboard.press('ArrowDown')
  await desk.keyboard.press('r')
  const form = desk.getByRole('form', { name: 'Send a rover' })
  await expect(form.getByRole('radio').first()).toBeFocused()
  const choices = await form.getByRole('radio').count()
  for (let i = 0; i < choices; i++) {
    await desk.keyboard.press(i === 0 ? 'Space' : 'ArrowDown')
    if (await form.getByRole('radio', { name: /^Ana/ }).isChecked()) break
  }
  await desk.keyboard.press('Tab')
  await expect(form.getByLabel(/What to do and bring/)).toBeFocused()
  await desk.keyboard.type('Spare pollbook.')
  await desk.keyboard.press('Control+Enter')
  await expect(form).toHaveCount(0)
  await expect(road.getByText('Spare pollbook.')).toBeVisible()
  const accept = road.getByRole('button', { name: 'Accept', exact: true })
  for (let i = 0; i < 20 && !(await accept.evaluate(e => e === document.activeElement)); i++)
    await road.keyboard.press('Tab')
  await road.keyboard.press('Enter')
  await expect(road.getByText('The office has: accepted')).toBeVisible()
  await press(road, 'Give back')
  await press(road, 'Give it back')
  for (const page of [desk, road]) await page.context().close()
})

for (const colorScheme of ['light', 'dark'] as const) {
  test(`the phone's page is accessible by WCAG 2.2 A and AA, fits 320 px and the thumb (${colorScheme})`, async ({
    browser,
  }) => {
    await order('SendRover', { rover: 'ana', precinct: 'harbor-hall', what: 'Bring the blue case.' })
    const road = await onTheRoad(browser, ANA, { colorScheme })
    await expect(road.getByText('Bring the blue case.')).toBeVisible()
    await isAccessible(road)
    await press(road, 'Give back')
    await isAccessible(road)
    await road.setViewportSize({ width: 320, height: 640 })
    expect(await road.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320)
    for (const button of await road.getByRole('main').getByRole('button').all())
      expect((await button.boundingBox())!.height).toBeGreaterThanOrEqual(56)
    await press(road, 'Give it back')
    await expect(road.getByText(/No errand now/)).toBeVisible()
    await road.context().close()
  })

  test(`the desk's rovers and the form are accessible by WCAG 2.2 A and AA (${colorScheme})`, async ({
    browser,
  }) => {
    await order('SendRover', { rover: 'ana', precinct: 'harbor-hall' })
    const desk = await atDesk(browser, office, IMRE, { colorScheme })
    await ana(desk).getByText('Ana rings: write it in').click()
    await isAccessible(desk, 'aside')
    await open(desk, 'tollhouse')
    await desk.keyboard.press('r')
    await expect(desk.getByRole('form', { name: 'Send a rover' })).toBeVisible()
    await isAccessible(desk, 'aside')
    await desk.keyboard.press('Escape')
    await closeDrawer(desk)
    await ana(desk).getByText('Ana rings: write it in').click()
    await ana(desk).getByRole('button', { name: 'Given back' }).click()
    await expect(ana(desk).getByText(/^free/)).toBeVisible()
    await desk.context().close()
  })
}

/** The desk's order by the API. */
async function order(kind: string, body: Record<string, unknown>) {
  const response = await fetch(`${office.url}/api/v1/days/${office.day}/commands`, {
    method: 'POST',
    headers: {
      Authorization: `Bearer ${await office.ask('token', IMRE)}`,
      'Content-Type': 'application/json',
    },
    body: JSON.stringify({ id: crypto.randomUUID(), kind, body }),
  })
  expect(response.status).toBe(200)
}
