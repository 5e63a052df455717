import AxeBuilder from '@axe-core/playwright'
import { type Browser, expect, type Page, test } from '@playwright/test'
import { linkMade } from '../../server/protocol/setup.ts'
import { officeOfFile } from './office.ts'

/** People come in, go, and are sent away: in a real browser, over the pages that work without scripts too. */
const office = officeOfFile({ at: '09:30', morning: true })
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']
const PASSWORD = 'seven herons over the marsh'

/** axe-core finds nothing. */
async function isAccessible(page: Page, what: string) {
  const { violations, passes } = await new AxeBuilder({ page }).withTags(RULES).analyze()
  const found = violations.map(v => `${v.id}: ${v.nodes.map(n => n.target.join(' '))}`)
  expect.soft(found, what).toEqual([])
  expect(passes.length).toBeGreaterThan(5)
}

let admin: { Cookie: string; Origin: string } | null = null
async function asAdmin(path: string, body: unknown): Promise<unknown> {
  admin ??= await office.ask('session', { id: 'p-odile', name: 'Odile', role: 'admin' })
  const answer = await fetch(`${office.url}/api/v1/setup/${path}`, {
    method: 'POST',
    headers: { ...admin, 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  })
  expect(answer.status).toBe(200)
  return answer.json()
}

async function invited(email: string, role: string) {
  return linkMade.parse(await asAdmin('people', { name: 'Nell Ashby', email, role }))
}

async function freshPage(browser: Browser, javaScriptEnabled = true): Promise<Page> {
  const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, javaScriptEnabled })
  return context.newPage()
}

async function signIn(page: Page, email: string, password: string) {
  await page.getByLabel('E-mail').fill(email)
  await page.getByLabel('Password', { exact: true }).fill(password)
  await page.getByRole('button', { name: 'Sign in' }).click()
}

test('from an invitation to a password, out and in again, until the administrator switches the account off', async ({
  browser,
}) => {
  const email = 'nell@ellery.example'
  const { person, link } = await invited(email, 'desk')
  const page = await freshPage(browser)

  await page.goto(office.url + link)
  await expect(page.getByRole('heading', { name: 'Welcome to Sunup' })).toBeVisible()
  await page.getByRole('button', { name: 'Choose a password' }).click()
  await expect(page.getByText(`You will sign in as ${email}.`)).toBeVisible()

  const field = page.getByLabel('New password')
  const set = page.getByRole('button', { name: 'Set the password and sign in' })
  await field.fill('too short')
  await page.getByRole('button', { name: 'Show the password' }).click()
  await expect(field).toHaveAttribute('type', 'text')
  await set.click()
  await expect(page.getByRole('alert')).toHaveText(/Use at least 15 characters: this one has 9\./)
  await field.fill('Ellery County 2026')
  await set.click()
  await expect(page.getByRole('alert')).toHaveText(/your name, your county or Sunup/)
  await field.fill(PASSWORD)
  await set.click()
  await expect(page).toHaveURL(`${office.url}/desk`)
  await expect(page.getByRole('heading', { name: 'Ellery County' })).toBeVisible()

  await page.goto(office.url)
  await expect(page.getByText('Nell Ashby, desk')).toBeVisible()
  const begin = page.getByRole('navigation', { name: 'Where to begin' })
  await expect(begin.getByRole('link')).toHaveText([/^The desk/, /^Receiving/, /^The precinct page/])
  await page.getByRole('button', { name: 'Sign out' }).click()
  await expect(page.getByRole('heading', { name: 'You are signed out' })).toBeVisible()
  await page.getByRole('link', { name: 'Sign in' }).click()

  await signIn(page, email, 'seven herons over the marshes')
  await expect(page.getByRole('alert')).toHaveText('E-mail or password is not right.')
  await expect(page.getByLabel('E-mail')).toHaveValue(email)
  await signIn(page, email, PASSWORD)
  await expect(page.getByRole('heading', { name: 'Ellery County' })).toBeVisible()

  await asAdmin(`people/${person}`, { off: true })
  await expect(page.getByText(/session has ended/).first()).toBeVisible()
  await page.reload()
  await expect(page.getByRole('heading', { name: 'The desk needs you to be signed in' })).toBeVisible()
  await page.getByRole('link', { name: 'Sign in' }).click()
  await signIn(page, email, PASSWORD)
  await expect(page.getByRole('alert')).toHaveText('E-mail or password is not right.')
  await page.context().close()
})

test('without scripts: a password is set, and signing in leads back to the page that was asked for', async ({
  browser,
}) => {
  const email = 'sam@ellery.example'
  const { link } = await invited(email, 'supervisor')
  const page = await freshPage(browser, false)
  await page.goto(office.url + link)
  await page.getByRole('button', { name: 'Choose a password' }).click()
  await expect(page.getByRole('button', { name: 'Show the password' })).toBeHidden()
  await page.getByLabel('New password').fill(PASSWORD)
  await page.getByRole('button', { name: 'Set the password and sign in' }).click()
  await expect(page).toHaveURL(`${office.url}/desk`)
  await page.context().clearCookies()
  await page.goto(`${office.url}/desk/shift`)
  await page.getByRole('link', { name: 'Sign in' }).click()
  await signIn(page, email, PASSWORD)
  await expect(page).toHaveURL(`${office.url}/desk/shift`)
  await page.context().close()
})

for (const colorScheme of ['light', 'dark'] as const)
  test(`the pages of coming in and going are accessible, with their errors too: ${colorScheme}`, async ({
    browser,
  }) => {
    const { link } = await invited(`${colorScheme}@ellery.example`, 'admin')
    const page = await freshPage(browser)
    await page.emulateMedia({ colorScheme })
    await page.goto(office.url + link)
    await isAccessible(page, 'invitation')
    await page.getByRole('button', { name: 'Choose a password' }).click()
    await page.getByLabel('New password').fill('too short')
    await page.getByRole('button', { name: 'Set the password and sign in' }).click()
    await expect(page.getByRole('alert')).toBeVisible()
    await isAccessible(page, 'password with an error')
    await page.goto(`${office.url}/sign-in`)
    await signIn(page, `${colorScheme}@ellery.example`, PASSWORD)
    await expect(page.getByRole('alert')).toBeVisible()
    await isAccessible(page, 'sign-in with an error')
    await page.goto(await office.ask('link', { id: 'p-ana', name: 'Ana', role: 'rover', post: 'ana' }))
    await page.getByRole('button', { name: 'Sign in' }).click()
    await expect(page).toHaveURL(`${office.url}/rover`)
    await page.goto(`${office.url}/receiving`)
    await isAccessible(page, 'not for your role')
    await page.goto(`${office.url}/sign-in`)
    await isAccessible(page, 'signed in already')
    await page.goto(office.url)
    await isAccessible(page, 'front page, signed in')
    await page.getByRole('button', { name: 'Sign out' }).click()
    await isAccessible(page, 'signed out')
    await page.context().close()
  })

test('P14 pages answer nobody with 401 and other roles with 403, and say where to go', async ({
  browser,
}) => {
  const page = await freshPage(browser)
  const statusOf = async (path: string) => (await page.goto(office.url + path))?.status()
  expect(await statusOf('/desk')).toBe(401)
  await page.goto(await office.ask('link', { id: 'p-ana', name: 'Ana', role: 'rover', post: 'ana' }))
  await page.getByRole('button', { name: 'Sign in' }).click()
  await expect(page).toHaveURL(`${office.url}/rover`)
  expect(await statusOf('/desk')).toBe(200)
  expect(await statusOf('/receiving')).toBe(403)
  await expect(page.getByRole('heading', { name: /is not for your role/ })).toBeVisible()
  await page.getByRole('link', { name: 'Go to your own page' }).click()
  await expect(page).toHaveURL(`${office.url}/rover`)
  await page.goto(`${office.url}/sign-in`)
  await expect(page.getByRole('heading', { name: 'You are signed in' })).toBeVisible()
  await page.context().close()
})
