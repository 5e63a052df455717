import { expect, type Page, test } from '@playwright/test'
import { officeOfFile } from './office.ts'
import { asked, begin, end, enrolAt, openPage, press, toStart, type } from './precinctPage.ts'

/** One tablet for two precincts of one place, in a real browser. */
const office = officeOfFile({ at: '06:40' })

const lines = async (precinct: string) =>
  (await office.ask('entries', precinct)).filter(e => e.kind === 'LineReported')

const choice = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'Precincts of this tablet' }).getByRole('button', { name })

async function speakFor(page: Page, name: string) {
  await choice(page, name).click()
  await expect(page.getByRole('heading', { name, exact: true, level: 1 })).toBeVisible()
  await expect(choice(page, name)).toHaveAttribute('aria-current', 'true')
}

async function sayLine(page: Page, name: string, inLine: number) {
  await begin(page, 'Line')
  await expect(page.locator('.pp-for')).toHaveText(`For ${name}`)
  await type(page, 'How many people are in line to check in?', String(inLine))
  await press(page, 'Leave it out')
}

test('P1 P5 P14 one tablet for two precincts: each one’s reports wait through a cut, arrive in order and at the right precinct', async ({
  browser,
}) => {
  const page = await openPage(browser, office)
  await enrolAt(page, office, 'seawall', 'Seawall')
  await expect(page.getByRole('navigation', { name: 'Precincts of this tablet' })).toHaveCount(0)

  // A link with a code adds; the same precinct is refused, and its code is still good.
  const same = await office.ask('code', 'seawall')
  await page.goto(`${office.url}/precinct?code=${same}`)
  await asked(page, 'Serve another precinct too')
  await press(page, 'Enrol')
  await expect(page.getByText(/This tablet serves the precinct of this code already/)).toBeVisible()
  await press(page, 'Not now')
  await begin(page, 'This tablet serves another precinct too')
  await enrolAt(page, office, 'breakwater', 'Breakwater')

  await sayLine(page, 'Breakwater', 21)
  await end(page, 'Line reported')
  await speakFor(page, 'Seawall')
  await sayLine(page, 'Seawall', 11)
  await end(page, 'Line reported')

  await page.context().setOffline(true)
  await expect(page.getByText(/^No connection since/)).toBeVisible({ timeout: 60_000 })
  for (const [name, number] of [
    ['Seawall', 12],
    ['Breakwater', 22],
    ['Seawall', 13],
    ['Breakwater', 23],
  ] as const) {
    if ((await choice(page, name).getAttribute('aria-current')) === null) await speakFor(page, name)
    await sayLine(page, name, number)
    await asked(page, 'Line reported')
    await toStart(page)
  }
  await expect(choice(page, 'Seawall')).toContainText('2 waiting')
  await expect(choice(page, 'Breakwater')).toContainText('2 waiting')
  await expect(page.getByText('Seawall: 2 waiting, link lost')).toBeVisible()
  await page.waitForTimeout(3_000)
  expect(await lines('seawall')).toHaveLength(1)

  await page.context().setOffline(false)
  for (const name of ['Seawall', 'Breakwater'])
    await expect(choice(page, name)).not.toContainText('waiting', { timeout: 60_000 })
  await expect(page.getByText(/^Office has everything, last heard you/)).toBeVisible()
  for (const [precinct, numbers] of [
    ['seawall', [11, 12, 13]],
    ['breakwater', [21, 22, 23]],
  ] as const)
    expect((await lines(precinct)).map(e => [e.number, e.body.inLine])).toEqual(
      numbers.map((inLine, i) => [i + 1, inLine]),
    )

  // Both are there again after the page is loaded anew, and the one that was shown is shown.
  await page.reload()
  await expect(page.getByRole('heading', { name: 'Breakwater', exact: true, level: 1 })).toBeVisible()
  await expect(choice(page, 'Seawall')).toBeVisible()

  // The office ends one of them: the other goes on.
  await office.ask('revoke', 'seawall')
  await expect(page.getByText('Seawall: the office no longer accepts this tablet for it')).toBeVisible({
    timeout: 60_000,
  })
  await choice(page, 'Seawall').click()
  await press(page, 'Take Seawall off this tablet')
  await expect(page.getByRole('heading', { name: 'Breakwater', exact: true, level: 1 })).toBeVisible()
  await expect(page.getByRole('navigation', { name: 'Precincts of this tablet' })).toHaveCount(0)
  await sayLine(page, 'Breakwater', 24)
  await end(page, 'Line reported')
  await page.context().close()
})
