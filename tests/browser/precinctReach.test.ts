import AxeBuilder from '@axe-core/playwright'
import { expect, type Page, test } from '@playwright/test'
import { wordsOf } from '../../app/precinct/words/wordsOf.ts'
import { IMRE, officeOfFile } from './office.ts'
import { asked, enrolAt, openPage, PHONE, press, TABLET, type } from './precinctPage.ts'
import { enlargeText, goTo, measure } from './precinctScreens.ts'

/** Every screen of the precinct page within everybody's reach: small, enlarged, dark, by keyboard, in Spanish. */
const office = officeOfFile({ at: '05:40' })
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

/** By address, with the heading by which each is known. */
const SCREENS = [
  ['', 'Chapel Street'],
  ['steps/opening', 'Opening steps'],
  ['steps/closing', 'Closing steps'],
  ['flow/step/tabulator', /^Tabulator seated/],
  ['flow/trouble/tabulator', 'What is not right?'],
  ['flow/locked', 'Are you locked out of the building?'],
  ['flow/team', 'How many workers are here now?'],
  ['seals', 'Seals'],
  ['flow/seal/ballot-box', 'What number is on the seal of the ballot box?'],
  ['tapes', 'Opening tape'],
  ['flow/tape/T021', 'Did the opening tape print, whole and readable?'],
  ['flow/open', /^It is 5:\d\d\./],
  ['flow/counts', 'How many voters are checked in so far?'],
  ['flow/line', 'How many people are in line to check in?'],
  ['equipment', 'Equipment'],
  ['flow/slot-opened', 'Emergency slot opened'],
  ['flow/box', 'The ballot box was opened. What for?'],
  ['flow/incident', 'What kind of thing is it?'],
  ['flow/supplies', 'What is running short?'],
  ['flow/move', 'Why must you leave the building?'],
  ['closing-tapes', 'Closing tape'],
  ['reconcile', 'Compare the counts'],
  ['custody', 'Seals and custody'],
  ['flow/seal-on/return-bag', 'What number is on the new seal of the return bag?'],
  ['flow/depart', 'No seal is on record for: return bag'],
  ['said', 'What was said today'],
  ['guide', 'Guide'],
  ['guide/provisional', /./],
  ['guide/ferry-materials', /./],
  ['another', 'Serve another precinct too'],
] as const

type Axe = {
  run(of: Document, how: object): Promise<{ violations: Found[]; passes: unknown[] }>
}
type Found = { id: string; nodes: Array<{ target: string[] }> }

/** Loads axe into the page and leaves it there: loading it for each screen would take ten times as long. */
async function loadAxe(page: Page) {
  await new AxeBuilder({ page }).setLegacyMode().analyze()
}

async function axe(page: Page): Promise<string[]> {
  const { violations, passes } = await page.evaluate(async rules => {
    const { axe } = window as unknown as { axe: Axe }
    const { violations, passes } = await axe.run(document, { runOnly: { type: 'tag', values: rules } })
    const found = violations.map(v => `${v.id}: ${v.nodes.map(n => n.target.join(' ')).join(', ')}`)
    return { violations: found, passes: passes.length }
  }, RULES)
  expect(passes, 'axe looked at something').toBeGreaterThan(5)
  return violations
}

async function notice(text: string) {
  const response = await fetch(`${office.url}/api/v1/days/${office.day}/commands`, {
    method: 'POST',
    headers: {
      'Content-Type': 'application/json',
      Authorization: `Bearer ${await office.ask('token', IMRE)}`,
    },
    body: JSON.stringify({
      id: crypto.randomUUID(),
      kind: 'SendNotice',
      body: { to: ['chapel-street'], text, acknowledge: true },
    }),
  })
  expect(await response.json()).toMatchObject({ ok: true })
}

test.describe('every screen on a phone', () => {
  let page: Page
  test.beforeAll(async ({ browser }) => {
    page = await openPage(browser, office)
    await enrolAt(page, office, 'chapel-street', 'Chapel Street')
    await goTo(page, 'flow/locked')
    await press(page, 'Yes, we cannot get in')
    await asked(page, 'Call now, in this order')
    await notice('The north door stays shut today. Send voters to the south door.')
    await goTo(page, '')
    await press(page, 'Everything you can report')
    await expect(page.getByRole('button', { name: 'We have read it' })).toBeVisible()
  })
  test.afterAll(() => page.context().close())

  test('WCAG 2.2 A and AA by axe, by day and night; targets, text, names', async () => {
    await loadAxe(page)
    for (const [screen, heading] of SCREENS) {
      await goTo(page, screen)
      await expect(page.getByRole('heading', { level: 1 }).first(), screen).toHaveText(heading)
      expect.soft(await axe(page), `${screen} by day`).toEqual([])
      const { targets, ...amiss } = await measure(page)
      expect(targets, screen).toBeGreaterThan(2)
      expect.soft(amiss, screen).toEqual({ small: [], nameless: [], tiny: [], over: 0 })
      await page.emulateMedia({ colorScheme: 'dark' })
      expect.soft(await axe(page), `${screen} by night`).toEqual([])
      await page.emulateMedia({ colorScheme: 'light' })
    }
  })

  test('nothing runs out of the window: 320 px, half of a phone (200 %), text twice as large; also in Spanish', async () => {
    for (const language of ['en', 'es'] as const) {
      if (language === 'es') await page.getByRole('button', { name: 'Español' }).click()
      await expect(page.locator('html')).toHaveAttribute('lang', language)
      for (const [screen] of SCREENS) {
        await goTo(page, screen)
        for (const width of [320, 195]) {
          await page.setViewportSize({ width, height: 422 })
          const { small, over } = await measure(page)
          expect.soft({ small, over }, `${screen} ${language} ${width}`).toEqual({ small: [], over: 0 })
        }
        await page.setViewportSize(PHONE)
        expect.soft((await measure(page)).tiny, `${screen} ${language}`).toEqual([])
      }
      for (const [screen] of SCREENS) {
        await goTo(page, screen)
        await enlargeText(page)
        expect.soft((await measure(page)).over, `${screen} ${language}, larger text`).toBe(0)
      }
      await page.reload()
      await expect(page.getByRole('heading', { level: 1 }).first()).toBeVisible()
    }
  })
})

/** What has the focus, and whether one can see that it has it. */
const focus = (page: Page) =>
  page.evaluate(() => {
    const at = document.activeElement as HTMLElement
    const { outlineStyle, outlineWidth } = getComputedStyle(at)
    return {
      text: (at.textContent ?? '').trim(),
      tag: at.tagName,
      seen: outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2,
    }
  })

/** On by Tab until what begins so has the focus; every stop must be seen. */
async function tabTo(page: Page, words: string) {
  for (let i = 0; i < 40; i++) {
    await page.keyboard.press('Tab')
    const at = await focus(page)
    if (at.tag === 'BODY') continue
    expect(at.seen, `${at.tag} ${at.text}`).toBe(true)
    if (at.text.startsWith(words)) return
  }
  throw new Error(`Tab never came to ${words}`)
}

async function focusIsOn(page: Page, words: string) {
  await expect.poll(async () => (await focus(page)).text).toBe(words)
  expect((await focus(page)).seen, words).toBe(true)
}

test.describe('by keyboard and in Spanish', () => {
  let page: Page
  const es = wordsOf('es')
  const teams = async () =>
    (await office.ask('said', 'ropewalk')).filter(e => e.kind === 'TeamReported').map(e => e.body)

  test.beforeAll(async ({ browser }) => {
    page = await openPage(browser, office, TABLET)
    await enrolAt(page, office, 'ropewalk', 'Ropewalk')
  })
  test.afterAll(() => page.context().close())

  test('from the start through a conversation and back with Tab, Space and Enter; the focus follows', async () => {
    await tabTo(page, 'Ask the office to call')
    await page.keyboard.press('Enter')
    await focusIsOn(page, 'What is it about?')
    await tabTo(page, 'weather')
    await page.keyboard.press('Enter')
    await expect(page.getByRole('textbox')).toBeFocused()
    await page.keyboard.type('Ice on the ramp')
    await tabTo(page, 'Next')
    await page.keyboard.press('Enter')
    await focusIsOn(page, 'The office is asked to call you')
    await tabTo(page, 'Done')
    await page.keyboard.press('Enter')
    await focusIsOn(page, 'Ropewalk')

    await tabTo(page, 'Team here')
    await page.keyboard.press('Enter')
    await expect(page.getByRole('textbox')).toBeFocused()
    await page.keyboard.type('5')
    await page.keyboard.press('Enter')
    await focusIsOn(page, 'Who is missing?')
    for (let i = 0; i < 20; i++) {
      await page.keyboard.press('Tab')
      const ticking = page.getByLabel('check-in', { exact: true })
      if (await ticking.evaluate(e => e === document.activeElement)) break
    }
    await page.keyboard.press('Space')
    await expect(page.getByLabel('check-in', { exact: true })).toBeChecked()
    await tabTo(page, 'Next')
    await page.keyboard.press('Enter')
    await page.keyboard.type('2')
    await page.keyboard.press('Enter')
    await focusIsOn(page, 'Ask the office for standby workers?')
    await tabTo(page, 'No, we can do it')
    await page.keyboard.press('Enter')
    await focusIsOn(page, 'Team reported')
    await expect.poll(teams).toEqual([{ present: 5, missing: [{ role: 'check-in', howMany: 2 }] }])
    await tabTo(page, 'Guide')
    await page.keyboard.press('Enter')
    await focusIsOn(page, 'Guide')
    await tabTo(page, '‹ Back')
    await page.keyboard.press('Enter')
    await asked(page, 'Team reported')
  })

  test('another language in the middle keeps what was answered, and the same is said', async () => {
    await goTo(page, '')
    await goTo(page, 'flow/team')
    await type(page, 'How many workers are here now?', '5')
    await page.getByRole('button', { name: 'Español' }).click()
    await expect(page.locator('html')).toHaveAttribute('lang', 'es')
    await asked(page, es.team.missing)
    await page.getByLabel(es.roles['check-in'], { exact: true }).check()
    await press(page, es.asking.next)
    await asked(page, es.team.howMany(es.roles['check-in']))
    await page.locator('.pp-field').fill('2')
    // What stands in the field stays there, in either language.
    await page.getByRole('button', { name: 'English' }).click()
    await page.getByRole('button', { name: 'Español' }).click()
    await expect(page.locator('.pp-field')).toHaveValue('2')
    await press(page, es.asking.next)
    await asked(page, es.team.standby)
    await press(page, es.team.standbyNo)
    await asked(page, es.team.done)
    await expect(page.getByText(es.asking.savedThere)).toBeVisible()
    const [english, spanish] = await teams()
    expect(spanish).toEqual(english)
    await page.reload()
    await expect(page.locator('html')).toHaveAttribute('lang', 'es')
  })
})
