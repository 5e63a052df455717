import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import AxeBuilder from '@axe-core/playwright'
import { type Browser, expect, type Page, test } from '@playwright/test'
import { checkoutFolder } from '../../server/where.ts'
import { IMRE, officeOfFile } from './office.ts'

/** An administrator from the plan to the closed day, in a real browser. */
const office = officeOfFile({ at: '09:30' })
const ODILE = { id: 'p-odile', name: 'Odile', role: 'admin' } as const
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

async function findsNothing(page: Page, what: string) {
  const { violations } = await new AxeBuilder({ page }).withTags(RULES).analyze()
  expect
    .soft(
      violations.map(v => `${v.id} ${v.nodes.map(n => n.target.join(' ')).join('; ')}`),
      what,
    )
    .toEqual([])
}

async function atSetup(browser: Browser): Promise<Page> {
  const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, colorScheme: 'light' })
  const page = await context.newPage()
  await page.goto(await office.ask('link', ODILE))
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.getByRole('heading', { name: 'Days', level: 1 }).waitFor()
  return page
}

/** Ellery's plan of another date, so that its day is a new one; `spoil` changes the text of a file. */
function planFiles(date: string, spoil: (name: string, text: string) => string = (_, text) => text) {
  const folder = join(checkoutFolder(), 'seed', 'ellery')
  return readdirSync(folder).map(name => {
    const text = readFileSync(join(folder, name), 'utf8')
    const dated = name === 'plan.json' ? text.replace('2026-11-03', date) : text
    return { name, mimeType: 'text/plain', buffer: Buffer.from(spoil(name, dated)) }
  })
}

test('a plan with faults is shown with each of them and nothing is kept; mended, its day is made, practised, disturbed and closed', async ({
  browser,
}) => {
  test.setTimeout(240_000)
  const page = await atSetup(browser)
  await findsNothing(page, 'days')
  const chooser = page.getByLabel('Files of the plan')

  await chooser.setInputFiles(
    planFiles('2026-12-01', (name, text) =>
      name === 'precincts.csv' ? text.replace('gull-point,Gull Point,', 'gull-point,,') : text,
    ),
  )
  await expect(page.getByRole('heading', { name: '1 fault: nothing was kept' })).toBeVisible()
  const fault = page.getByRole('row', { name: /precincts\.csv 14 name/ })
  await expect(fault).toBeVisible()
  await findsNothing(page, 'faults')
  await expect(page.getByRole('button', { name: 'Keep this plan' })).toHaveCount(0)

  await chooser.setInputFiles(planFiles('2026-12-01'))
  await expect(page.getByRole('heading', { name: 'No fault found' })).toBeVisible()
  await page.getByRole('button', { name: 'Keep this plan' }).click()
  const day = 'ellery-county-2026-12-01-practice'
  await page.getByRole('link', { name: `Go to ${day}` }).click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Ellery County')
  await expect(page.getByText('kept, not opened')).toBeVisible()

  await page.getByRole('link', { name: 'Make a sheet of enrolment codes' }).click()
  await page.getByRole('button', { name: 'Make the codes' }).click()
  await expect(page.getByRole('img', { name: /^QR code of / })).toHaveCount(64)
  await findsNothing(page, 'codes')
  await page.getByRole('link', { name: 'Back to the day' }).click()

  await page.getByLabel('How fast its clock runs').fill('9000')
  await page.getByRole('button', { name: 'Begin the practice' }).click()
  await expect(page.getByText(/speed: .*600/)).toBeVisible()
  await page.getByLabel('How fast its clock runs').fill('10')
  await page.getByLabel('Begin at').fill('05:40')
  await page.getByRole('button', { name: 'Begin the practice' }).click()
  await expect(page.getByText(/running, 2026-12-01 .*10 times as fast/)).toBeVisible({ timeout: 120_000 })
  await findsNothing(page, 'a running practice')

  await page.getByLabel('Let happen at').selectOption('gull-point')
  await page.getByLabel('what', { exact: true }).selectOption('tablet-back')
  await page.getByRole('button', { name: 'Let it happen' }).click()
  await expect(page.getByRole('alert').filter({ hasText: 'what:' })).toBeVisible()
  await page.getByLabel('what', { exact: true }).selectOption('help-asked')
  await page.getByRole('button', { name: 'Let it happen' }).click()
  await expect(page.getByText('Gull Point: the precinct asks for help.')).toBeVisible()
  const desk = await page.context().newPage()
  await desk.goto(`${office.url}/desk?day=${day}`)
  await expect(
    desk.getByRole('article', { name: 'Gull Point' }).getByText('Help asked for').first(),
  ).toBeVisible({
    timeout: 30_000,
  })
  // An administrator looks on: no command, no contact.
  await expect(desk.getByRole('button', { name: 'Take the call' })).toHaveCount(0)
  await desk.close()

  await page.getByRole('button', { name: 'stand still' }).click()
  await expect(page.getByText(/standing still/)).toBeVisible()
  for (const part of await page.locator('summary').all()) await part.click()
  await expect(
    page.getByRole('row', { name: /longLineMinutes 30 minutes a longer wait is a long line/ }),
  ).toBeVisible()
  await findsNothing(page, 'devices and policy')

  await page.getByLabel(/^Type .* to close it$/).fill('ellery')
  await page.getByRole('button', { name: 'Close this day for good' }).click()
  await expect(page.getByText(/not the id of the day/)).toBeVisible()
  await page.getByLabel(/^Type .* to close it$/).fill(day)
  await page.getByRole('button', { name: 'Close this day for good' }).click()
  await expect(page.getByRole('heading', { name: 'Closed' })).toBeVisible({ timeout: 30_000 })
  await expect(page.getByRole('link', { name: 'Make a sheet of enrolment codes' })).toHaveCount(0)
})

test('P14: the setup is for administrators; people are invited, changed, switched off, and a program gets its token once', async ({
  browser,
}) => {
  const other = await browser.newContext()
  const outside = await other.newPage()
  await outside.goto(`${office.url}/setup`)
  await expect(outside.getByRole('heading', { level: 1 })).toContainText('needs you to be signed in')
  await outside.goto(await office.ask('link', IMRE))
  await outside.getByRole('button', { name: 'Sign in' }).click()
  await outside.waitForURL('**/desk*')
  await outside.goto(`${office.url}/setup/people`)
  await expect(outside.getByRole('heading', { level: 1 })).toContainText('not for your role')
  await other.close()

  const page = await atSetup(browser)
  await page.getByRole('link', { name: 'People and programs' }).click()
  await page.getByLabel('Name').fill('Tove')
  await page.getByLabel('E-mail').fill('not an address')
  await page.getByRole('button', { name: 'Make the invitation' }).click()
  await expect(page.getByRole('alert').filter({ hasText: 'email:' })).toBeVisible()
  await page.getByLabel('E-mail').fill('tove@example.gov')
  await page.getByRole('button', { name: 'Make the invitation' }).click()
  await expect(page.getByRole('heading', { name: 'Tove sets a password by this link' })).toBeVisible()
  await expect(page.getByText(/\/enter\?key=/)).toBeVisible()
  await findsNothing(page, 'people')
  await page.getByRole('button', { name: 'Done with it' }).click()

  await page.getByRole('button', { name: 'Change Tove' }).click()
  const row = page.getByRole('row', { name: /Tove/ })
  await row.getByLabel('Role').selectOption('rover')
  await row.getByLabel('Post').fill('ana')
  await row.getByRole('button', { name: 'Save' }).click()
  await expect(row.getByText('post ana')).toBeVisible()
  await row.getByRole('button', { name: 'Switch off' }).click()
  await expect(row.getByText('switched off', { exact: true })).toBeVisible()

  await page.getByRole('button', { name: 'Change Odile' }).click()
  const mine = page.getByRole('row', { name: /Odile/ })
  await mine.getByRole('button', { name: 'Switch off' }).click()
  await expect(mine.getByRole('alert')).toContainText('last')

  await page.getByLabel('A token for').fill('wall clock')
  await page.getByRole('button', { name: 'Make a token' }).click()
  await expect(page.getByText('Token of wall clock, shown once:')).toBeVisible()
  await page.getByRole('button', { name: 'End the token of wall clock' }).click()
  await expect(page.getByRole('row', { name: /wall clock/ })).toHaveCount(0)
})

test('the API’s page shows every operation and leads to the specifications', async ({ page }) => {
  await page.goto(`${office.url}/api`)
  await expect(page.getByRole('heading', { name: 'The API', level: 1 })).toBeVisible()
  await expect(page.getByRole('heading', { name: /Whom to call next, and why/ })).toBeVisible()
  await page
    .getByText(/^Body: /)
    .first()
    .click()
  await findsNothing(page, 'the API')
  await page.getByRole('link', { name: 'OpenAPI 3.1', exact: true }).click()
  await expect(page.getByText('"openapi":"3.1.0"')).toBeVisible()
})
