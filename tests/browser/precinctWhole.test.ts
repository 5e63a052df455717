import { type Browser, expect, type Page, test } from '@playwright/test'
import { IMRE, officeOfFile } from './office.ts'
import { asked, enrolAt, openPage, PHONE, TABLET } from './precinctPage.ts'

/** A whole day on a tablet by touch, from the door to the last seal; then what goes wrong beside it. */
const office = officeOfFile({ at: '05:20' })
const HALL = 'harbor-hall'
const TAB_1 = 'Tabulator 1 (T011)'
const TAB_2 = 'Tabulator 2 (T012)'

const told = (precinct: string) => office.ask('said', precinct)
const kinds = async (precinct: string) => (await told(precinct)).map(e => e.kind)
const lastOf = async (precinct: string) => (await told(precinct)).at(-1)

async function order(kind: string, body: Record<string, unknown>) {
  const response = await fetch(`${office.url}/api/v1/days/${office.day}/commands`, {
    method: 'POST',
    headers: {
      'Content-Type': 'application/json',
      Authorization: `Bearer ${await office.ask('token', IMRE)}`,
    },
    body: JSON.stringify({ id: crypto.randomUUID(), kind, body }),
  })
  const answer = (await response.json()) as { ok: boolean; result?: Record<string, string> }
  expect(answer).toMatchObject({ ok: true })
  return answer
}

const button = (page: Page, title: string) =>
  page.getByRole('button', { name: new RegExp(`^${title.replace(/[?.()]/g, '\\$&')}`) }).first()
const tap = (page: Page, title: string) => button(page, title).tap()

async function pick(page: Page, question: string | RegExp, answer: string) {
  await asked(page, question)
  await tap(page, answer)
}
async function write(page: Page, question: string | RegExp, words: string) {
  await asked(page, question)
  await page.locator('.pp-field').fill(words)
  await tap(page, 'Next')
}
async function keys(page: Page, question: string | RegExp, digits: string) {
  await asked(page, question)
  for (const digit of digits) await page.getByRole('button', { name: digit, exact: true }).tap()
  await tap(page, 'Next')
}
async function steps(page: Page, question: string | RegExp, ...by: string[]) {
  await asked(page, question)
  for (const one of by) await page.getByRole('button', { name: one, exact: true }).tap()
  await tap(page, 'Next')
}
async function both(page: Page) {
  for (const who of [
    'First person: I confirm',
    'Second person: I confirm too',
    'We are of different parties',
  ])
    await page.getByText(who, { exact: true }).tap()
  await tap(page, 'Both confirmed: go on')
}
/** From the start, whether it stands among what is next or under all else. */
async function from(page: Page, title: string) {
  await expect(button(page, 'What was said today')).toBeVisible()
  if (!(await button(page, title).isVisible())) await tap(page, 'Everything you can report')
  await tap(page, title)
}
async function ended(page: Page, title: string | RegExp) {
  await asked(page, title)
  await expect(page.getByText(/^(The office has it\.|They have it already)/)).toBeVisible()
  await tap(page, 'Back to start')
}
async function seal(page: Page, what: string, number: string) {
  await tap(page, what)
  await write(page, `What number is on the seal of the ${what}?`, number)
}
const YES = [
  /print, whole/,
  /name your precinct: Harbor Hall/,
  /every total on the tape zero/,
  /public count show 0/,
  /same order/,
  /seal number written/,
  /everybody signed/,
]
async function verified(page: Page, tabulator: string) {
  await tap(page, tabulator)
  for (const question of YES) await pick(page, question, 'Yes')
  await both(page)
  await ended(page, 'Tape verified')
}

test.describe('a whole day on a tablet, by touch', () => {
  test.describe.configure({ mode: 'serial' })
  let page: Page
  test.beforeAll(async ({ browser }) => {
    page = await openPage(browser, office, TABLET, '', true)
  })
  test.afterAll(() => page.context().close())

  test('locked out, the team with a standby, a trouble that is mended and one that needs a call', async () => {
    await page.getByLabel('Code', { exact: true }).fill(await office.ask('code', HALL))
    await page.getByRole('button', { name: 'Enrol', exact: true }).tap()
    await expect(page.getByRole('heading', { name: 'Harbor Hall', level: 1 })).toBeVisible()

    await from(page, 'The building is locked')
    await pick(page, 'Are you locked out of the building?', 'Yes, we cannot get in')
    await asked(page, 'Call now, in this order')
    expect(await page.locator('a[href^="tel:"]').evaluateAll(all => all.map(a => a.textContent))).toEqual([
      'Call the custodian: 555-0180',
      'Call the office: 555-0199',
    ])
    await ended(page, 'Call now, in this order')

    await from(page, 'Team here')
    await keys(page, 'How many workers are here now?', '7')
    await asked(page, 'Who is missing?')
    await page.getByText('check-in', { exact: true }).tap()
    await tap(page, 'Next')
    await keys(page, 'How many are missing: check-in?', '1')
    await pick(page, 'Ask the office for standby workers?', 'Yes, ask for them')
    await expect(page.getByText('The office is asked for standby workers.')).toBeVisible()
    await ended(page, 'Team reported')

    await from(page, 'Seals')
    await seal(page, 'ballot box', 'E834989')
    await write(page, 'That is not the expected number. Read the seal of the ballot box again.', 'e834988')
    await expect(page.getByText('The number is the one expected.')).toBeVisible()
    await pick(page, 'Is the seal of the ballot box whole?', 'In place and whole')
    await tap(page, 'All seals')
    for (const [what, number] of [
      ['tabulator door', 'E673061'],
      ['memory device', 'E789823'],
      ['tabulator door 2', 'E645363'],
      ['memory device 2', 'E638284'],
      ['emergency slot', 'E430957'],
    ] as const) {
      await seal(page, what, number)
      await pick(page, `Is the seal of the ${what} whole?`, 'In place and whole')
      // Once for all of them, with the last.
      if (what === 'emergency slot') await both(page)
      await tap(page, 'All seals')
    }
    await tap(page, 'Back')

    await from(page, 'Opening steps')
    await tap(page, 'Ballot box seen empty')
    await pick(page, /^Ballot box seen empty/, 'Yes, it is so')
    await both(page)
    await tap(page, 'Done')
    await tap(page, 'Tabulator seated')
    await pick(page, /^Tabulator seated/, 'It is not so')
    await pick(page, 'What is not right?', 'It has no power')
    await pick(page, 'Push the plug in at both ends.', 'No, it is not')
    await pick(page, /^Use another wall outlet/, 'Yes, it is right now')
    await pick(page, /^Tabulator seated/, 'It is not so')
    await pick(page, 'What is not right?', 'The tabulator shows no message')
    await pick(page, /^Look if its lamp is on/, 'No, it is not')
    await pick(page, /^Turn it off and on once/, 'No, it is not')
    await asked(page, 'Call the office now')
    // They have it before anybody rings them.
    await expect(page.getByText('They have it already: the tabulator shows no message.')).toBeVisible()
    expect(await lastOf(HALL)).toMatchObject({
      kind: 'HelpRequested',
      body: { about: 'equipment', step: 'tabulator', trouble: 'no-prompt' },
    })
    await expect(page.getByRole('link', { name: 'Call the office: 555-0199' })).toBeVisible()
    await tap(page, 'Back to the step')
    await pick(page, /^Tabulator seated/, 'Yes, it is so')
    await ended(page, 'Step reported')
  })

  test('a seal is another one, a tape is rejected, and the polls open in time with the emergency slot', async () => {
    await from(page, 'Seals')
    await seal(page, 'tabulator door 2', 'X1')
    await write(page, /Read the seal of the tabulator door 2 again/, 'X1')
    await pick(page, 'Is the seal of the tabulator door 2 whole?', 'In place and whole')
    await asked(page, 'Do not go on with the tabulator door 2')
    await expect(page.getByText('Keep Tabulator 2 out of use: its seal is not right.')).toBeVisible()
    await expect(page.getByText('Polls still open at 6:30.')).toBeVisible()
    await expect(page.locator('.pp-page')).not.toContainText('E645363')
    await tap(page, 'Done')
    await expect(button(page, 'tabulator door 2')).toContainText('not right: do not go on with it')
    await tap(page, 'Back')

    await from(page, 'Opening tape')
    await expect(button(page, TAB_2)).toContainText('out of use: its seal is not right')
    await tap(page, TAB_2)
    await pick(page, 'Did the office say to go on with it?', 'Not yet')
    await tap(page, TAB_1)
    await pick(page, /print, whole/, 'Yes')
    await pick(page, /name your precinct/, 'Yes')
    await pick(page, /every total on the tape zero/, 'No')
    await asked(page, 'What is wrong? Tick all that you saw.')
    await tap(page, 'Next')
    await asked(page, 'What exactly does the tape show?')
    await tap(page, 'Leave it out')
    await asked(page, 'Keep Tabulator 1 out of use. Call the office now.')
    await expect(page.getByText('They have it already: the tape is wrong.')).toBeVisible()
    await tap(page, 'Back to start')

    await office.ask('playTo', '06:30')
    await from(page, 'Open the polls')
    await pick(page, 'Are voters being let in?', 'Yes, polls are open')
    await asked(page, 'Is the emergency slot open for ballots?')
    await expect(
      page.getByText(/Not verified or not working: Tabulator 1, Tabulator 2.*open with the emergency slot/),
    ).toBeVisible()
    await tap(page, 'Yes, the slot takes ballots')
    await ended(page, 'Polls are open')
    await expect(page.getByText('emergency slot in use')).toBeVisible()

    // Both come right: the slot is to be locked, and then its ballots wait.
    await from(page, 'Seals')
    await seal(page, 'tabulator door 2', 'E645363')
    await pick(page, 'Is the seal of the tabulator door 2 whole?', 'In place and whole')
    await ended(page, 'Seal recorded')
    for (const tabulator of [TAB_2, TAB_1]) {
      await from(page, 'Opening tape')
      await verified(page, tabulator)
    }
    await expect(button(page, 'Emergency slot locked')).toContainText(
      'The tabulator works: lock the slot now',
    )
    await tap(page, 'Emergency slot locked')
    await steps(page, 'How many ballots are in the slot now?', '+1', '+1', '+1')
    await both(page)
    await ended(page, 'Emergency slot is locked')
    await expect(button(page, 'Slot ballots fed')).toContainText('3 ballots wait in the emergency slot')
    await tap(page, 'Slot ballots fed')
    await keys(page, 'How many slot ballots did the tabulator take?', '3')
    await pick(page, /set aside for hand counting/, 'None')
    await pick(page, 'How many were handed over uncounted?', 'None')
    await both(page)
    await ended(page, 'Slot ballots reported')
  })

  test('counts by steps, one that went backwards, a notice of the office, and another place', async () => {
    await from(page, 'Counts')
    await steps(page, 'How many voters are checked in so far?', '+10', '+10', '+10', '+10', '+1')
    await steps(page, 'What is the public count of Tabulator 1?', '+10', '+10')
    await steps(page, 'What is the public count of Tabulator 2?', '+10', '+10', '+1', '−1')
    await pick(page, 'Anything else to count?', 'No, tell the office')
    await ended(page, 'Counts reported')
    await from(page, 'Counts')
    await steps(page, 'How many voters are checked in so far?', '−1')
    await pick(page, '40 is less than 41 said before. Which is right?', 'Type it again')
    await steps(page, 'How many voters are checked in so far?', '+10', '+1')
    for (const n of [1, 2]) await pick(page, `What is the public count of Tabulator ${n}?`, 'Not known now')
    await pick(page, 'Anything else to count?', 'No, tell the office')
    await ended(page, 'Counts reported')
    await office.ask('playTo', '08:01')
    await expect(button(page, 'Counts')).toContainText(/due since/i, { timeout: 20_000 })

    await from(page, 'Line')
    await order('SendNotice', { to: [HALL], text: 'The north door stays shut today.', acknowledge: true })
    // It never takes the question away: the head of the page says that it waits.
    await page.getByRole('button', { name: 'A notice of the office. Read it' }).tap()
    const notice = page.getByRole('region', { name: 'From the elections office' })
    await expect(notice).toContainText('The north door stays shut today.')
    await notice.getByRole('button', { name: 'We have read it' }).tap()
    await expect(notice).toBeHidden()
    await expect(page.getByRole('region', { name: 'Notices of today' })).toContainText('read')

    await from(page, 'We must leave the building')
    await pick(page, 'Why must you leave the building?', 'Fire, smoke or gas')
    await write(page, 'Where do you go?', 'The school yard across the street')
    await asked(page, 'The office is told that you move')
    await tap(page, 'Voting has stopped')
    await pick(page, 'Voting has stopped. Why?', 'place not open')
    await pick(page, 'What happened?', 'Leave it out')
    await ended(page, 'The office is told that voting has stopped')
    await from(page, 'Voting goes on')
    await pick(page, 'Are people voting again?', 'Yes, voting goes on')
    await ended(page, 'The office is told that voting goes on')
    await expect(
      page.getByText('Ballot box, tabulator and seals stay together. Two people stay with them.'),
    ).toBeVisible()
  })

  test('closing, a difference that is explained, the seal of the bag, and two who carry it', async () => {
    await office.ask('playTo', '19:30')
    await from(page, 'Close the polls')
    await pick(page, 'Are the polls closed?', 'Yes, closed')
    await keys(page, 'How many are still in line to vote?', '2')
    await ended(page, 'Polls are closed')
    await from(page, 'Last voter served')
    await pick(page, 'Has everybody in line voted?', 'Yes, the last voter is served')
    await ended(page, 'Last voter served')
    for (const [tabulator, count] of [
      [TAB_1, '400'],
      [TAB_2, '500'],
    ] as const) {
      await from(page, 'Closing tape')
      await tap(page, tabulator)
      await keys(page, /What is the last public count of Tabulator/, count)
      await both(page)
      await ended(page, 'Closing tape reported')
    }

    await from(page, 'Compare the counts')
    await asked(page, 'Compare the counts')
    await tap(page, 'Go on')
    await expect(page.getByText('Type a number here. Type 0 if there are none.').first()).toBeVisible()
    for (const [line, number] of [
      ['Unused ballots left', '1290'],
      ['Spoiled ballots', '6'],
      ['Provisional ballots', '2'],
      ['Challenged ballots', '0'],
      ['Voters checked in', '902'],
    ] as const)
      await page.getByLabel(line).fill(number)
    await expect(page.getByText('Ballots differ: 910 used, 908 found. 2 not found.')).toBeVisible()
    await expect(page.getByText('Voters agree: 902 checked in.')).toBeVisible()
    await tap(page, 'Go on')
    await write(page, 'The numbers differ. What explains it?', 'Two ballots were torn in the pack')
    await both(page)
    await expect(page.getByText('The office sees the difference and will ask about it.')).toBeVisible()
    await ended(page, 'Counts reported as reconciled')

    await from(page, 'Closing steps')
    await tap(page, 'Memory device taken and sealed')
    await pick(page, 'Memory device taken and sealed', 'Yes, it is so')
    await both(page)
    await ended(page, 'Step reported')

    await from(page, 'Return on its way')
    await pick(page, 'No seal is on record for: return bag', 'Put its seal on record first')
    const bag = page.getByRole('region', { name: 'return bag' })
    await bag.getByRole('button', { name: 'New seal put on' }).tap()
    await write(page, 'What number is on the new seal of the return bag?', 'E767810')
    await asked(page, 'New seal on record')
    await tap(page, 'Done')
    await expect(bag).toContainText('seal put on: its number is on record')
    await expect(bag).toContainText('No gap on record.')
    await tap(page, 'Back')
    await from(page, 'Return on its way')
    await keys(page, 'How many people carry the materials?', '2')
    await asked(page, 'Those who carry it go together')
    await both(page)
    await asked(page, 'What goes with them?')
    for (const item of ['Voted ballots', 'Memory device']) await page.getByText(item, { exact: true }).tap()
    await tap(page, 'Next')
    await write(page, 'Which seal numbers are on what they carry?', 'E767810')
    await ended(page, 'The office expects your return')
    await expect(
      page.getByText('Go straight to the place your county named. Make no other stop.'),
    ).toBeVisible()
    await expect(page.getByText('Seals: E767810')).toBeVisible()
  })

  test('P1 the log holds the day in the order in which it was said, once each', async () => {
    await expect(page.getByText(/^Office has everything/)).toBeVisible()
    const all = await told(HALL)
    expect(all.map(e => e.number)).toEqual(all.map((_, i) => i + 1))
    const two = { byTwo: true, partiesDiffer: true }
    const sealed = (container: string, found: string) => [
      'SealRecorded',
      { container, found, state: 'intact' },
    ]
    expect(all.map(e => [e.kind, e.kind === 'NoticeAcknowledged' ? {} : e.body])).toEqual([
      ['HelpRequested', { about: 'place-not-open', trouble: 'building-locked', step: 'team' }],
      ['TeamReported', { present: 7, missing: [{ role: 'check-in', howMany: 1 }] }],
      ['SuppliesRequested', { item: 'workers', howMany: 1 }],
      sealed('ballot-box', 'e834988'),
      sealed('tabulator-door', 'E673061'),
      sealed('memory-device', 'E789823'),
      sealed('tabulator-door-2', 'E645363'),
      sealed('memory-device-2', 'E638284'),
      sealed('emergency-slot', 'E430957'),
      ['StepCompleted', { step: 'seals', ...two }],
      ['StepCompleted', { step: 'box', ...two }],
      ['HelpRequested', { about: 'equipment', step: 'tabulator', trouble: 'no-prompt' }],
      ['StepCompleted', { step: 'tabulator' }],
      sealed('tabulator-door-2', 'X1'),
      ['OpeningTapeRejected', { tabulator: 'T011', problems: ['not-zero'] }],
      ['PollsOpened', { withSlot: true }],
      sealed('tabulator-door-2', 'E645363'),
      ['OpeningTapeVerified', { tabulator: 'T012', ...two }],
      ['OpeningTapeVerified', { tabulator: 'T011', ...two }],
      ['EmergencySlotLocked', { inSlot: 3, ...two }],
      ['SlotBallotsFed', { fed: 3, handCounted: 0, handedOver: 0, ...two }],
      ['CountsReported', { checkedIn: 41, publicCount: { T011: 20, T012: 20 } }],
      ['CountsReported', { checkedIn: 52 }],
      ['NoticeAcknowledged', {}],
      ['PlaceMoved', { cause: 'place-not-open' }],
      ['PollsSuspended', { cause: 'place-not-open' }],
      ['PollsResumed', {}],
      ['PollsClosed', { stillInLine: 2 }],
      ['LastVoterServed', {}],
      ['StepCompleted', { step: 'last-voter' }],
      ['ClosingTapeSigned', { tabulator: 'T011', publicCount: 400, ...two }],
      ['ClosingTapeSigned', { tabulator: 'T012', publicCount: 500, ...two }],
      [
        'CountsReconciled',
        {
          delivered: 2200,
          left: 1290,
          tabulated: 900,
          inSlot: 0,
          spoiled: 6,
          provisional: 2,
          challenged: 0,
          checkedIn: 902,
          ...two,
        },
      ],
      ['StepCompleted', { step: 'reconcile', ...two }],
      ['StepCompleted', { step: 'memory', ...two }],
      ['SealRecorded', { container: 'return-bag', found: 'E767810', state: 'intact', act: 'applied' }],
      [
        'ReturnDeparted',
        { carriers: 2, items: ['ballots-voted', 'memory-device'], seals: ['E767810'], partiesDiffer: true },
      ],
    ])
    const detail = (kind: string) => all.find(e => e.kind === kind)?.detail
    expect(detail('PlaceMoved')).toMatchObject({ to: 'The school yard across the street' })
    expect(detail('CountsReconciled')).toMatchObject({ explanation: 'Two ballots were torn in the pack' })
    expect(await office.ask('verify', null)).toBe(true)
  })
})

test.describe('what goes wrong', () => {
  const code = (page: Page) => page.getByLabel('Code', { exact: true })
  const enrol = (page: Page) => page.getByRole('button', { name: 'Enrol', exact: true }).click()

  test('a code of another day is not used up by a tablet that serves this one', async ({ browser }) => {
    const page = await openPage(browser, office)
    await enrolAt(page, office, 'ropewalk', 'Ropewalk')
    await page.goto(`${office.url}/precinct#another`)
    await code(page).fill(await office.ask('codeOfAnotherDay', 'bell-yard'))
    await enrol(page)
    await expect(code(page)).toHaveAccessibleDescription(/for another day.*It is not used up/)
    await expect(code(page)).toBeFocused()
    await code(page).fill('MMMMM-MMMMM')
    await enrol(page)
    await expect(code(page)).toHaveAccessibleDescription(/is not one of our codes/)
    await page.context().close()
  })

  test('a browser without storage says so, and what is said arrives all the same', async ({ browser }) => {
    const page = await pageWith(browser, () => {
      Object.defineProperty(window, 'indexedDB', { value: undefined })
    })
    await enrolAt(page, office, 'oyster-lane', 'Oyster Lane')
    await expect(page.getByText(/^This browser keeps nothing\./)).toBeVisible()
    await sayLine(page, '4')
    await expect
      .poll(() => lastOf('oyster-lane'))
      .toMatchObject({ kind: 'LineReported', body: { inLine: 4 } })
    await page.context().close()
  })

  test('a report that the office refuses is shown with what is wrong, outlasts the page, and is said again', async ({
    browser,
  }) => {
    // A storage that returns another number than it was given: the page's own check can't see it.
    const page = await pageWith(browser, () => {
      const add = IDBObjectStore.prototype.add
      const put = IDBObjectStore.prototype.put
      const worn = (row: { body?: { inLine?: number } }) =>
        row?.body?.inLine === 666 ? { ...row, body: { inLine: -1 } } : row
      IDBObjectStore.prototype.add = function (row, ...key) {
        return add.call(this, worn(row), ...key)
      }
      IDBObjectStore.prototype.put = function (row, ...key) {
        return put.call(this, worn(row), ...key)
      }
    })
    await enrolAt(page, office, 'gull-point', 'Gull Point')
    await sayLine(page, '666')
    const bad = page.getByRole('button', { name: 'The office could not take 1 report. See what is wrong' })
    await expect(bad).toBeVisible()
    await page.reload()
    await bad.click()
    const amiss = page.locator('.pp-amiss')
    await expect(amiss).toContainText('In line: At least 0.')
    await amiss.getByRole('button', { name: 'Say it again, corrected' }).click()
    await asked(page, 'How many people are in line to check in?')
    await page.locator('.pp-field').fill('6')
    await button(page, 'Next').click()
    await button(page, 'Leave it out').click()
    await asked(page, 'Line reported')
    await expect(bad).toHaveCount(0)
    await page.goto(`${office.url}/precinct#said`)
    await expect(page.getByText('said again', { exact: true })).toBeVisible()
    expect((await told('gull-point')).map(e => [e.number, e.body])).toEqual([[2, { inLine: 6 }]])
    await page.context().close()
  })

  test('a tablet that was replaced says that the office keeps its words aside', async ({ browser }) => {
    const old = await openPage(browser, office)
    await enrolAt(old, office, 'fog-bell', 'Fog Bell')
    await sayLine(old, '2')
    await expect.poll(() => kinds('fog-bell')).toEqual(['LineReported'])
    const device = (await lastOf('fog-bell'))!.source.replace(/^device:/, '')
    const { result } = await order('IssueCode', { precinct: 'fog-bell', replaces: device })
    const young = await openPage(browser, office)
    await code(young).fill(result!.code!)
    await enrol(young)
    await expect(young.getByRole('heading', { name: 'Fog Bell', level: 1 })).toBeVisible()
    await sayLine(old, '3')
    await old.goto(`${office.url}/precinct#said`)
    await expect(old.getByText(/^Another tablet took the place of this one/).first()).toBeVisible()
    await expect(old.getByText('kept aside in the office', { exact: true })).toBeVisible()
    expect(await kinds('fog-bell')).toEqual(['LineReported'])
    await old.context().close()
    await young.context().close()
  })
})

async function pageWith(browser: Browser, before: () => void): Promise<Page> {
  const context = await browser.newContext({ viewport: PHONE, colorScheme: 'light' })
  await context.addInitScript(before)
  const page = await context.newPage()
  await page.goto(`${office.url}/precinct`)
  return page
}

/** By its address: wherever it stands at the start. */
async function sayLine(page: Page, inLine: string) {
  await page.evaluate(() => {
    location.hash = 'flow/line'
  })
  await asked(page, 'How many people are in line to check in?')
  await page.locator('.pp-field').fill(inLine)
  await button(page, 'Next').click()
  await button(page, 'Leave it out').click()
  await asked(page, 'Line reported')
  await button(page, 'Back to start').click()
}
