import { type Browser, expect, type Page } from '@playwright/test'
import type { Office } from './office.ts'

/** The precinct page as a worker uses it: one question after the other, by thumb. */

export const PHONE = { width: 390, height: 844 }
export const TABLET = { width: 800, height: 1280 }

export async function openPage(
  browser: Browser,
  office: Office,
  size = PHONE,
  query = '',
  hasTouch = false,
): Promise<Page> {
  const context = await browser.newContext({ viewport: size, colorScheme: 'light', hasTouch })
  const page = await context.newPage()
  await page.goto(`${office.url}/precinct${query}`)
  await expect(page.getByRole('heading', { name: 'Enrol this device' })).toBeVisible()
  return page
}

export async function enrolAt(page: Page, office: Office, precinct: string, name: string) {
  await page.getByLabel('Code', { exact: true }).fill(await office.ask('code', precinct))
  await page.getByRole('button', { name: 'Enrol', exact: true }).click()
  await expect(page.getByRole('heading', { name, exact: true, level: 1 })).toBeVisible()
}

/** A button by the beginning of its words: its title, whatever note stands under it. */
const button = (page: Page, title: string) =>
  page.getByRole('button', { name: new RegExp(`^${title.replace(/[?.()]/g, '\\$&')}`) }).first()

export const press = (page: Page, title: string) => button(page, title).click()

export const asked = (page: Page, question: string | RegExp) =>
  expect(page.getByRole('heading', { level: 1 })).toHaveText(question)

/** Types into the one field of the question and goes on. */
export async function type(page: Page, question: string | RegExp, words: string) {
  await asked(page, question)
  await page.locator('.pp-field').fill(words)
  await press(page, 'Next')
}

export async function choose(page: Page, question: string | RegExp, answer: string) {
  await asked(page, question)
  await press(page, answer)
}

export async function bothConfirm(page: Page) {
  await page.getByLabel('First person: I confirm', { exact: true }).check()
  await page.getByLabel('Second person: I confirm too').check()
  await page.getByLabel('We are of different parties').check()
  await press(page, 'Both confirmed: go on')
}

/** From the start to what is to be told, wherever it stands there. */
export async function begin(page: Page, title: string) {
  await expect(button(page, 'What was said today')).toBeVisible()
  const all = page.getByRole('button', { name: 'Everything you can report' })
  if (!(await button(page, title).isVisible())) await all.click()
  await press(page, title)
}

/** The end of a conversation, and back to the start; the office has it by then. */
export async function end(page: Page, title: string | RegExp) {
  await asked(page, title)
  await expect(page.getByText('The office has it.')).toBeVisible()
  await toStart(page)
}

export async function toStart(page: Page) {
  if (await page.getByRole('button', { name: 'Back to start' }).isVisible())
    await press(page, 'Back to start')
  else await page.getByRole('button', { name: 'Back', exact: true }).click()
  await expect(button(page, 'What was said today')).toBeVisible()
}
