import { type Browser, expect, type Page, test } from '@playwright/test'
import type { boardAnswer } from '../../server/outputs/dayAnswers.ts'
import { ANA, atDesk, IMRE, NELL, officeOfFile } from './office.ts'

/** The desk in a real browser, against the whole server: half past nine of a quiet morning in Ellery County. */
const office = officeOfFile({ at: '09:30', morning: true })

const card = (page: Page, name: string) => page.getByRole('article', { name, exact: true })
const row = (page: Page, code: string) => page.locator(`#row-${code}`)
const list = (page: Page) => page.getByRole('listbox', { name: 'Precincts' })
const rows = (page: Page) => list(page).getByRole('option')
const entries = async (precinct: string, kind: string) =>
  (await office.ask('entries', precinct)).filter(e => e.kind === kind)

async function desk(browser: Browser, person: Parameters<typeof atDesk>[2] = IMRE) {
  return atDesk(browser, office, person)
}

test.describe('getting in', () => {
  test('a sign-in link is a page with a button: opening it uses nothing up, and a used one says so', async ({
    page,
    request,
  }) => {
    const link = await office.ask('link', IMRE)
    for (let i = 0; i < 2; i++) expect((await request.get(link)).status()).toBe(200)
    await page.goto(link)
    await page.getByRole('button', { name: 'Sign in' }).click()
    await expect(page).toHaveURL(/\/desk$/)
    await expect(page.getByRole('heading', { name: 'Ellery County' })).toBeVisible()
    await page.context().clearCookies()
    await page.goto(link)
    await expect(page.getByRole('heading', { name: 'This link is no longer good' })).toBeVisible()
    await expect(page.getByText(/ask whoever set up your county’s Sunup for a new link/)).toBeVisible()
  })

  test('without a session the desk and its sheet show nothing of the day, and say how to get in', async ({
    page,
  }) => {
    for (const path of ['/desk', `/desk/sheet?day=${office.day}`]) {
      await page.goto(`${office.url}${path}`)
      await expect(page.getByRole('heading', { name: /needs you to be signed in/ })).toBeVisible()
      await expect(page.getByRole('link', { name: 'Sign in' })).toBeVisible()
      await expect(page.getByText('Harbor Hall')).toHaveCount(0)
    }
  })
})

test.describe('the board', () => {
  test('holds all 64 precincts, and only the rows in sight are in the page', async ({ browser }) => {
    const page = await desk(browser)
    await expect(page.getByText('64 rows')).toBeVisible()
    await expect(rows(page).first()).toBeVisible()
    const first = await rows(page).count()
    expect(first).toBeGreaterThan(8)
    expect(first).toBeLessThan(40)
    const seen = await everyFigure(page)
    expect(seen.size).toBe(64)
    expect(seen.get('harbor-hall')).toBe('344')
    await expect(page.getByText('open of 64')).toBeVisible()
    await page.context().close()
  })

  test('shows what a tablet says without a reload', async ({ browser }) => {
    const page = await desk(browser)
    await page.getByLabel('Search precincts').fill('Quarry')
    await expect(row(page, 'quarry-lane')).toContainText('140')
    let loads = 0
    page.on('load', () => loads++)
    await office.say('quarry-lane', 'CountsReported', { checkedIn: 171, ballotsLeft: 729 })
    await expect(row(page, 'quarry-lane')).toContainText('171')
    await office.say('quarry-lane', 'EmergencySlotOpened', { byTwo: true })
    await expect(row(page, 'quarry-lane')).toContainText('emergency slot in use')
    expect(loads).toBe(0)
    await page.context().close()
  })

  test('is searched, sorted and filtered; arrows move, Enter opens, Escape closes', async ({ browser }) => {
    const page = await desk(browser)
    await expect(rows(page).first()).toBeVisible()
    await page.keyboard.press('/')
    await expect(page.getByLabel('Search precincts')).toBeFocused()
    await page.keyboard.type('heron')
    await expect(rows(page)).toHaveCount(1)
    await expect(row(page, 'heron-creek')).toContainText('Heron Creek')
    await page.keyboard.press('Escape')
    await expect(page.getByText('64 rows')).toBeVisible()
    await expect(list(page)).toBeFocused()

    await page.getByRole('combobox', { name: 'Sort by' }).selectOption('name')
    await expect(rows(page).first()).toHaveId('row-anchor-green')
    await page.getByRole('combobox', { name: 'Area' }).selectOption({ index: 1 })
    await expect(page.getByText(/^\d+ of 64$/)).toBeVisible()
    await page.getByRole('combobox', { name: 'Area' }).selectOption('')
    await page.getByRole('combobox', { name: 'Standing' }).selectOption('received')
    await expect(page.getByText('No precinct fits.')).toBeVisible()
    await page.getByRole('button', { name: 'Show all' }).click()

    await list(page).focus()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('ArrowDown')
    await expect(row(page, 'ashgrove-mill')).toHaveAttribute('aria-selected', 'true')
    await expect(list(page)).toHaveAttribute('aria-activedescendant', 'row-ashgrove-mill')
    await page.keyboard.press('k')
    await expect(row(page, 'anchor-green')).toHaveAttribute('aria-selected', 'true')
    await page.keyboard.press('End')
    await expect(rows(page).last()).toHaveAttribute('aria-selected', 'true')
    await page.keyboard.press('Home')
    await page.keyboard.press('Enter')
    await expect(page.getByRole('heading', { name: 'Anchor Green' })).toBeFocused()
    await page.keyboard.press('Escape')
    await expect(page.getByRole('heading', { name: 'County turnout' })).toBeVisible()
    await expect(list(page)).toBeFocused()
    await page.context().close()
  })

  test('opens a precinct with its entries, its contact, its curve and the age of each figure', async ({
    browser,
  }) => {
    const page = await desk(browser)
    await page.getByLabel('Search precincts').fill('Chapel')
    await row(page, 'chapel-street').click()
    const drawer = page.getByRole('complementary', { name: 'Precinct' })
    await expect(drawer.getByRole('heading', { name: 'Chapel Street' })).toBeVisible()
    await expect(drawer.getByText('Counts: 164 checked in, 886 ballots left')).toBeVisible()
    await expect(drawer.getByText('Polls opened')).toBeVisible()
    await expect(drawer.getByText(/precinct lead, on paper/).first()).toBeVisible()
    await expect(drawer.getByRole('link', { name: '555-0101' })).toBeVisible()
    await expect(drawer.getByText(/Bram Hawes/)).toBeVisible()
    await expect(drawer.getByRole('row', { name: /^Checked in/ })).toContainText(/09:00, \d+ min ago/)
    await expect(drawer.locator('svg.recharts-surface').first()).toBeVisible()
    await page.context().close()
  })

  test('? shows the keys, and Escape gives the focus back', async ({ browser }) => {
    const page = await desk(browser)
    await list(page).focus()
    await page.keyboard.press('?')
    const dialog = page.getByRole('dialog', { name: 'Keys' })
    await expect(dialog).toContainText('take the call of the chosen precinct')
    await page.keyboard.press('Escape')
    await expect(dialog).toHaveCount(0)
    await expect(list(page)).toBeFocused()
    await page.context().close()
  })
})

test.describe('the call list', () => {
  test('says in plain words what is wrong and what to ask', async ({ browser }) => {
    await office.say('miller-pond', 'SealRecorded', { container: 'ballot-box', found: 'X1', state: 'broken' })
    const page = await desk(browser)
    const line = card(page, 'Miller Pond')
    await expect(line).toContainText('Seal differs')
    await expect(line).toContainText(/The seal of “ballot-box” X1 is broken; the record has E\d+/)
    await expect(line).toContainText('Ask: Read the number to me once more, digit by digit.')
    await expect(line.getByRole('button', { name: 'Take the call' })).toBeVisible()
    await page.context().close()
  })

  test('a call is taken, and how it ended is logged, with the keyboard alone', async ({ browser }) => {
    await office.say('reed-bank', 'HelpRequested', { about: 'power', what: 'half of the lights are out' })
    const page = await desk(browser)
    await expect(card(page, 'Reed Bank')).toBeVisible()
    await page.keyboard.press('/')
    await page.keyboard.type('Reed Bank')
    await page.keyboard.press('Tab')
    await list(page).focus()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('t')
    await expect(
      card(page, 'Reed Bank')
        .getByRole('link', { name: /555-01/ })
        .first(),
    ).toBeVisible()
    await page.keyboard.press('l')
    await expect(page.getByRole('radio', { name: 'solved, on their word' })).toBeFocused()
    await page.keyboard.press('Space')
    await page.keyboard.press('Tab')
    await page.keyboard.type('lights are back, a fuse')
    await page.keyboard.press('Control+Enter')
    await expect(card(page, 'Reed Bank')).toHaveCount(0)
    expect((await entries('reed-bank', 'CallTaken')).length).toBe(1)
    const [logged] = await entries('reed-bank', 'CallLogged')
    expect(logged).toMatchObject({
      body: { outcome: 'solved' },
      detail: { note: 'lights are back, a fuse' },
      origin: { wrote: IMRE.id },
    })
    await page.context().close()
  })

  test('of two operators who take one line exactly one has it, and the other is told who', async ({
    browser,
  }) => {
    await office.say('sheepgate', 'HelpRequested', { about: 'workers' })
    const imre = await desk(browser, IMRE)
    const nell = await desk(browser, NELL)
    const buttons = [imre, nell].map(p => card(p, 'Sheepgate').getByRole('button', { name: 'Take the call' }))
    for (const button of buttons) await expect(button).toBeVisible()
    await Promise.all(buttons.map(button => button.click()))
    await expect
      .poll(async () => (await entries('sheepgate', 'CallTaken')).map(e => e.origin.wrote))
      .toHaveLength(1)
    const [taken] = await entries('sheepgate', 'CallTaken')
    const imreHasIt = taken!.origin.wrote === IMRE.id
    const [winner, loser] = imreHasIt ? [imre, nell] : [nell, imre]
    await expect(card(winner!, 'Sheepgate').getByRole('button', { name: 'Log how it ended' })).toBeVisible()
    await expect(card(loser!, 'Sheepgate')).toContainText(`${imreHasIt ? 'Imre' : 'Nell'} has it`)
    await expect(card(loser!, 'Sheepgate').getByRole('button', { name: 'Take the call' })).toHaveCount(0)
    await winner!.context().close()
    await loser!.context().close()
  })

  test('a call that is put off steps back and says when it returns', async ({ browser }) => {
    await office.say('stone-barn', 'HelpRequested', { about: 'supplies' })
    const page = await desk(browser)
    const line = card(page, 'Stone Barn')
    await line.getByRole('button', { name: 'Put off' }).click()
    await line.getByLabel('Put off for').selectOption('20')
    await line.getByLabel('Why').fill('their delivery is on its way')
    await line.getByRole('button', { name: 'Put off' }).last().click()
    await expect(line).toContainText(/back at \d\d:\d\d/)
    const [deferred] = await entries('stone-barn', 'CallDeferred')
    expect(deferred).toMatchObject({ detail: { note: 'their delivery is on its way' } })
    const minutes = (Date.parse(String(deferred!.body.until)) - Date.parse(deferred!.recordedAt)) / 60_000
    expect(minutes).toBeGreaterThan(19)
    expect(minutes).toBeLessThanOrEqual(20)
    await page.context().close()
  })
})

test.describe('the caller form', () => {
  test('writes what was said, with the time it happened', async ({ browser }) => {
    const page = await desk(browser)
    await openPrecinct(page, 'Larkfield', 'larkfield')
    await page.keyboard.press('c')
    await expect(page.getByRole('heading', { name: /Written in for Larkfield/ })).toBeVisible()
    await page.getByLabel('Who speaks').fill('precinct lead')
    await page.getByLabel('When it happened').fill('09:20')
    await page.getByRole('button', { name: 'Counts', exact: true }).click()
    await page.getByLabel(/^Checked in/).fill('291')
    await page.getByLabel(/^Ballots left/).fill('1284')
    await page.getByRole('button', { name: 'Record what was said' }).click()
    await expect(page.getByText('Written in for Larkfield: 1 entry.')).toBeVisible()
    await expect(row(page, 'larkfield')).toContainText('291')
    await expect(row(page, 'larkfield')).toContainText('09:20')
    const drawer = page.getByRole('complementary', { name: 'Precinct' })
    await expect(drawer.getByText('Counts: 291 checked in, 1,284 ballots left')).toBeVisible()
    await expect(drawer.getByText(/precinct lead, by telephone, written by Imre/)).toBeVisible()
    const written = (await entries('larkfield', 'CountsReported')).at(-1)!
    expect(written).toMatchObject({
      body: { checkedIn: 291, ballotsLeft: 1284 },
      origin: { via: 'caller', spoke: 'precinct lead', wrote: IMRE.id },
      occurredAt: '2026-11-03T14:20:00.000Z',
    })
    await page.context().close()
  })

  test('shows an error beside its field and writes nothing', async ({ browser }) => {
    const page = await desk(browser)
    await openPrecinct(page, 'Thistle Hill', 'thistle-hill')
    const before = (await office.ask('entries', 'thistle-hill')).length
    await page.keyboard.press('c')
    await page.getByLabel('Who speaks').fill('worker')
    await page.getByLabel('When it happened').fill('23:50')
    await page.getByRole('button', { name: 'Counts', exact: true }).click()
    const field = page.getByLabel(/^Checked in/)
    await field.fill('about 90')
    await page.getByRole('button', { name: 'Record what was said' }).click()
    await expect(field).toHaveAttribute('aria-invalid', 'true')
    await expect(field).toHaveAccessibleDescription('a whole number, 0 or more')
    await expect(page.getByText(/later than now/)).toBeVisible()
    await expect(page.getByText('2 fields need another look.')).toBeVisible()
    expect((await office.ask('entries', 'thistle-hill')).length).toBe(before)
    await page.context().close()
  })
})

test.describe('the window', () => {
  test('the desk never scrolls away: its columns scroll, the document does not', async ({ browser }) => {
    const page = await desk(browser)
    await page.setViewportSize({ width: 1366, height: 768 })
    await expect(rows(page).first()).toBeVisible()
    const heights = () => page.evaluate(() => [document.documentElement.scrollHeight, innerHeight])
    expect(await heights()).toEqual([768, 768])
    await openPrecinct(page, 'Thistle Hill', 'thistle-hill')
    await page.keyboard.press('c')
    await page.getByRole('button', { name: 'Reconciled', exact: true }).click()
    await page.getByRole('button', { name: 'Record what was said' }).click()
    await expect(page.getByText(/fields need another look/)).toBeVisible()
    expect(await heights()).toEqual([768, 768])
    await page.context().close()
  })
})

test.describe('roles and paper', () => {
  test('P14 a rover looks on: no command, no contact of a worker', async ({ browser }) => {
    await office.say('tollhouse', 'HelpRequested', { about: 'access' })
    const page = await desk(browser, ANA)
    await expect(card(page, 'Tollhouse')).toBeVisible()
    for (const name of ['Take the call', 'Put off', 'Write in a call'])
      await expect(page.getByRole('button', { name })).toHaveCount(0)
    await openPrecinct(page, 'Tollhouse', 'tollhouse')
    const drawer = page.getByRole('complementary', { name: 'Precinct' })
    await expect(drawer.getByText('Asks for help: access')).toBeVisible()
    for (const name of ['Write in a call', 'Add the note', 'Issue an enrolment code', 'Revoke the device'])
      await expect(drawer.getByRole('button', { name })).toHaveCount(0)
    await expect(drawer.locator('a[href^="tel:"]')).toHaveCount(0)
    await page.keyboard.press('t')
    await page.waitForTimeout(300)
    expect((await entries('tollhouse', 'CallTaken')).length).toBe(0)
    await page.context().close()
  })

  test('the situation sheet has every precinct, its telephone, and the head’s position and hash; it prints', async ({
    browser,
  }) => {
    const page = await desk(browser)
    await page.goto(`${office.url}/desk/sheet?day=${office.day}`)
    const sheet = page.getByRole('main')
    await expect(sheet.getByRole('heading', { name: /Situation sheet, Ellery County/ })).toBeVisible()
    const tiers = ['stop.', 'now.', 'soon.', 'watch.']
    const matters = await sheet.getByRole('table').first().locator('td > strong').allTextContents()
    expect(matters.length).toBeGreaterThan(2)
    expect(matters).toEqual([...matters].sort((a, b) => tiers.indexOf(a) - tiers.indexOf(b)))
    const table = sheet.getByRole('table').last()
    await expect(table.getByRole('row')).toHaveCount(65)
    await expect(table.getByRole('row', { name: /^Harbor Hall/ })).toContainText('555-0100')
    const head = await sheet.getByText(/^entry [\d,]+, [0-9a-f]{64}$/).textContent()
    const [, position, hash] = /entry ([\d,]+), ([0-9a-f]{64})/.exec(head ?? '')!
    const token = await office.ask('token', { id: 'p-program', name: 'Program', role: 'supervisor' })
    const after = Number(position!.replaceAll(',', '')) - 1
    const answer = await page.request.get(
      `${office.url}/api/v1/days/${office.day}/log?after=${after}&limit=1`,
      { headers: { Authorization: `Bearer ${token}` } },
    )
    expect((await answer.json()).entries[0].hash).toBe(hash)
    await page.emulateMedia({ media: 'print' })
    await expect(page.getByRole('button', { name: 'Print' })).toBeHidden()
    const pdf = await page.pdf({ format: 'Letter' })
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-')
    expect(pdf.length).toBeGreaterThan(20_000)
    await page.context().close()
  })
})

test.describe('promises', () => {
  test('P5 the server is killed: the board says so and keeps its picture, and is at the head again by itself', async ({
    browser,
  }) => {
    const page = await desk(browser)
    await page.getByLabel('Search precincts').fill('Kelp')
    await office.say('kelp-bay', 'CountsReported', { checkedIn: 61 })
    await expect(row(page, 'kelp-bay')).toContainText('61')
    let loads = 0
    page.on('load', () => loads++)
    await office.kill()
    const foot = page.getByRole('contentinfo')
    await expect(foot).toContainText(/link lost since \d\d:\d\d, picture of \d\d:\d\d:\d\d kept/)
    await expect(row(page, 'kelp-bay')).toContainText('61')
    await office.restart()
    await office.say('kelp-bay', 'CountsReported', { checkedIn: 66 })
    await expect(row(page, 'kelp-bay')).toContainText('66', { timeout: 30_000 })
    await expect(foot).toContainText('connected')
    expect(loads).toBe(0)
    const { cursor } = await (await page.request.get(`${office.url}/api/v1/days/${office.day}/board`)).json()
    await expect.poll(async () => cursorOf(await foot.textContent())).toBeGreaterThanOrEqual(cursor)
    await page.context().close()
  })

  test('P4 after a minute of the day with reports from twelve tablets the board shows what the fold has', async ({
    browser,
  }) => {
    const page = await desk(browser)
    await page.getByRole('combobox', { name: 'Sort by' }).selectOption('name')
    await office.ask('speed', 4)
    const tablets = ['ropewalk', 'customs-steps', 'bell-yard', 'gull-point', 'copper-beach', 'long-strand']
    tablets.push('fog-bell', 'seawall', 'oyster-lane', 'causeway', 'eelgrass', 'puffin-head')
    const until = performance.now() + 15_000
    let said = 0
    await Promise.all(
      tablets.map(async (precinct, i) => {
        for (let n = 1; performance.now() < until; n++) {
          const checkedIn = 200 + i * 7 + n
          await office.say(precinct, 'CountsReported', { checkedIn, ballotsLeft: 100 + ((i * 13 + n) % 90) })
          if (n % 4 === 0) await office.say(precinct, 'LineReported', { inLine: n % 9 })
          said++
          await page.waitForTimeout(120)
        }
      }),
    )
    await office.ask('speed', 1)
    expect(said).toBeGreaterThan(120)
    const token = await office.ask('token', { id: 'p-program', name: 'Program', role: 'supervisor' })
    const fold = async () => {
      const answer = await page.request.get(`${office.url}/api/v1/days/${office.day}/board`, {
        headers: { Authorization: `Bearer ${token}` },
      })
      return (await answer.json()) as ReturnType<typeof boardAnswer>
    }
    await expect
      .poll(async () => {
        const { cursor } = await fold()
        return cursor - cursorOf(await page.getByRole('contentinfo').textContent())
      })
      .toBe(0)
    const shown = await everyFigure(page)
    const { precincts } = await fold()
    expect(shown.size).toBe(precincts.length)
    for (const p of precincts) {
      expect([p.code, shown.get(p.code)]).toEqual([p.code, p.checkedIn!.is.toLocaleString('en-US')])
    }
    const open = precincts.filter(p => p.standing === 'open').length
    await expect(page.getByRole('banner')).toContainText(`open of 64${open}`)
    await page.context().close()
  })
})

test.describe('what is coming', () => {
  test('stands in the drawer with its reasons, and says what a change would do', async ({ browser }) => {
    const page = await desk(browser)
    await office.say('harbor-hall', 'LineReported', { inLine: 90, stationsWorking: 2 })
    await openPrecinct(page, 'Harbor Hall', 'harbor-hall')
    const coming = page.getByRole('region', { name: 'What is coming' })
    await expect(coming.getByText(/Because 90 were in line at 09:3\d/)).toBeVisible({ timeout: 20_000 })
    await expect(coming.getByText(/voters by closing, between/)).toBeVisible()
    await coming.getByRole('radio', { name: 'one station more' }).check()
    await expect(coming.getByText(/^Then .* of those who come wait too long/)).toBeVisible()
    // The strip goes on with its band right of now, and says so to those who don't see it.
    await expect(page.getByRole('img', { name: /forecast by closing/ })).toBeVisible()
    const { total, inside } = await page.getByRole('complementary', { name: 'Precinct' }).evaluate(aside => ({
      total: aside.scrollWidth,
      inside: aside.clientWidth,
    }))
    expect(total).toBeLessThanOrEqual(inside)
    await page.context().close()
  })
})

/** The entry that the foot says it is at. */
function cursorOf(foot: string | null): number {
  return Number(/entry ([\d,]+)/.exec(foot ?? '')?.[1]?.replaceAll(',', '') ?? Number.NaN)
}

async function openPrecinct(page: Page, name: string, code: string) {
  await page.getByLabel('Search precincts').fill(name)
  await row(page, code).click()
  await expect(page.getByRole('heading', { name, exact: true, level: 2 })).toBeVisible()
}

/** Scrolls through the list and gathers the figure that each row shows, by precinct. */
async function everyFigure(page: Page): Promise<Map<string, string>> {
  const seen = new Map<string, string>()
  await list(page).evaluate(element => element.scrollTo(0, 0))
  for (let i = 0; i < 40; i++) {
    const here = await rows(page).evaluateAll(all =>
      all.map(r => [r.id.replace('row-', ''), r.querySelector(':scope > div:last-child > p')?.textContent]),
    )
    for (const [code, figure] of here) seen.set(String(code), figure ?? '')
    const atEnd = await list(page).evaluate(element => {
      const before = element.scrollTop
      element.scrollBy(0, element.clientHeight * 0.8)
      return element.scrollTop === before
    })
    if (atEnd) break
    await page.waitForTimeout(60)
  }
  return seen
}
