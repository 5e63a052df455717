import AxeBuilder from '@axe-core/playwright'
import { type Browser, expect, type Page, test } from '@playwright/test'
import { atDesk, IMRE, officeOfFile } from './office.ts'
import {
  asked,
  begin,
  choose,
  enrolAt,
  openPage,
  PHONE,
  press,
  TABLET,
  toStart,
  type,
} from './precinctPage.ts'

/** WCAG 2.2 A and AA, as far as a program can tell: axe-core's own rules, none of them left out. */
const office = officeOfFile({ at: '09:30', morning: true })
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

async function findsNothing(page: Page, what: string) {
  const { violations, passes } = await new AxeBuilder({ page }).withTags(RULES).analyze()
  const found = violations.map(v => ({
    rule: v.id,
    help: v.help,
    at: v.nodes.map(n => `${n.target.join(' ')}: ${n.failureSummary ?? ''}`),
  }))
  expect.soft(found, what).toEqual([])
  expect(passes.length, `${what}: axe looked at something`).toBeGreaterThan(5)
}

async function troubles() {
  await office.say('miller-pond', 'SealRecorded', { container: 'ballot-box', found: 'X1', state: 'intact' })
  await office.say('reed-bank', 'HelpRequested', { about: 'power' })
  await office.say('seawall', 'EquipmentWentDown', { equipment: 'T291' })
  await office.say('seawall', 'EmergencySlotOpened', { byTwo: true })
  await office.say('larkfield', 'CountsReported', { checkedIn: 290, ballotsLeft: 1285, inLine: 40 })
}

test('the pages before anybody is known', async ({ page }) => {
  for (const path of ['/', '/desk', '/enter', '/precinct']) {
    await page.goto(`${office.url}${path}`)
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible()
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme })
      await findsNothing(page, `${path} ${colorScheme}`)
    }
  }
  await page.goto(await office.ask('link', IMRE))
  await findsNothing(page, 'sign-in')
})

for (const light of ['day', 'night'] as const)
  test(`the desk by ${light}: board, calls, drawer, forms, keys, sheet`, async ({ browser }) => {
    const page = await darkOrLight(browser, light)
    await troubles()
    await expect(page.getByRole('article', { name: 'Reed Bank' })).toBeVisible()
    await findsNothing(page, 'board')

    const call = page.getByRole('article', { name: 'Miller Pond' })
    await call.getByRole('button', { name: 'Put off' }).click()
    await findsNothing(page, 'put off')
    await page.keyboard.press('Escape')
    await call.getByRole('button', { name: 'Take the call' }).click()
    await call.getByRole('button', { name: 'Log how it ended' }).click()
    await call.getByRole('button', { name: 'Log it' }).click()
    await expect(call.getByText('Choose how it ended.')).toBeVisible()
    await findsNothing(page, 'a call of mine, its form with an error')
    await call.getByRole('button', { name: 'Cancel' }).click()
    await call.getByRole('button', { name: 'Give back' }).click()
    await expect(call.getByRole('button', { name: 'Take the call' })).toBeVisible()

    await page.getByLabel('Search precincts').fill('Seawall')
    await page.locator('#row-seawall').click()
    const drawer = page.getByRole('complementary', { name: 'Precinct' })
    await expect(drawer.getByText('Emergency slot opened').first()).toBeVisible()
    await findsNothing(page, 'drawer')
    await drawer.getByRole('button', { name: 'Issue an enrolment code' }).click()
    await drawer.getByRole('radio', { name: /It takes the place of/ }).check()
    await findsNothing(page, 'whose place a new tablet takes')
    await drawer.getByRole('radio', { name: 'It is one more' }).check()
    await drawer.getByRole('button', { name: 'Issue the code' }).click()
    await drawer.getByRole('button', { name: 'Revoke the device' }).click()
    await expect(drawer.getByText(/shown once/)).toBeVisible()
    await findsNothing(page, 'drawer with a code')

    await drawer.getByRole('button', { name: 'Write in a call' }).click()
    await page.getByRole('button', { name: 'Counts', exact: true }).click()
    await page.getByRole('button', { name: 'Opening tape rejected', exact: true }).click()
    await page.getByRole('button', { name: 'Record what was said' }).click()
    await expect(page.getByText(/need another look/)).toBeVisible()
    await findsNothing(page, 'caller form with errors')

    await page.keyboard.press('Escape')
    await page.getByRole('button', { name: 'Keys ( ? )' }).click()
    await expect(page.getByRole('dialog')).toBeVisible()
    await findsNothing(page, 'keys')

    await page.goto(`${office.url}/desk/sheet?day=${office.day}`)
    await expect(page.getByRole('heading', { name: /Situation sheet/ })).toBeVisible()
    await findsNothing(page, 'sheet')
    await page.context().close()
  })

for (const [name, size, precinct, title] of [
  ['phone', PHONE, 'bell-yard', 'Bell Yard'],
  ['tablet', TABLET, 'copper-beach', 'Copper Beach'],
] as const)
  test(`the precinct page on a ${name}: enrolment, start, each kind of question`, async ({ browser }) => {
    const page = await openPage(browser, office, size)
    await page.getByRole('button', { name: 'Enrol', exact: true }).click()
    await findsNothing(page, 'enrolment with an error')
    await enrolAt(page, office, precinct, title)
    for (const colorScheme of ['dark', 'light'] as const) {
      await page.emulateMedia({ colorScheme })
      await findsNothing(page, `start, ${colorScheme}`)
    }
    await press(page, 'Everything you can report')
    await findsNothing(page, 'everything')
    await begin(page, 'Line')
    await press(page, 'Next')
    await findsNothing(page, 'a number, with an error')
    await type(page, 'How many people are in line to check in?', '3')
    await press(page, 'Leave it out')
    await expect(page.getByText('The office has it.')).toBeVisible()
    await findsNothing(page, 'said')
    await toStart(page)
    await begin(page, 'Incident')
    await findsNothing(page, 'a choice')
    await press(page, 'weather')
    await page.locator('.pp-field').fill('Ring 414-555-0144')
    await press(page, 'Next')
    await expect(page.getByText('This looks like a telephone number.')).toBeVisible()
    await findsNothing(page, 'words, with a warning')
    for (const screen of ['steps/opening', 'seals', 'tapes', 'equipment', 'said']) {
      await page.goto(`${office.url}/precinct#${screen}`)
      await expect(page.getByRole('button', { name: 'Back', exact: true })).toBeVisible()
      await findsNothing(page, screen)
    }
    await page.goto(`${office.url}/precinct#flow/team`)
    await type(page, 'How many workers are here now?', '4')
    await asked(page, 'Who is missing?')
    await findsNothing(page, 'ticks')
    await page.goto(`${office.url}/precinct#flow/slot-opened`)
    await asked(page, 'Emergency slot opened')
    await findsNothing(page, 'two people')
    await page.goto(`${office.url}/precinct#seals`)
    await press(page, 'memory device')
    await press(page, 'There is no number to read')
    await choose(page, 'Why is there no number on the memory device?', 'There is no seal')
    await asked(page, 'Do not go on with the memory device')
    await findsNothing(page, 'stop')
    await page.context().close()
  })

async function darkOrLight(browser: Browser, light: 'day' | 'night'): Promise<Page> {
  return atDesk(browser, office, IMRE, { colorScheme: light === 'night' ? 'dark' : 'light' })
}
