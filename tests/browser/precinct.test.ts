import { expect, type Page, test } from '@playwright/test'
import { officeOfFile } from './office.ts'
import {
  asked,
  begin,
  bothConfirm,
  choose,
  end,
  enrolAt,
  openPage,
  PHONE,
  press,
  TABLET,
  toStart,
  type,
} from './precinctPage.ts'

/** The precinct page in a real browser, from twenty to six in the morning until the return has left. */
const office = officeOfFile({ at: '05:40' })

/** What the devices of a precinct said, oldest first. */
const told = async (precinct: string) =>
  (await office.ask('entries', precinct)).filter(
    e => e.origin.via === 'device' && e.kind !== 'HeartbeatReceived',
  )
const lastTold = async (precinct: string) => (await told(precinct)).at(-1)
const hasAll = (page: Page) => expect(page.getByText(/^Office has everything, last heard you/)).toBeVisible()

test.describe('enrolment', () => {
  test('a wrong code, a short one and a used one are told beside the code; a good one enrols', async ({
    browser,
  }) => {
    const page = await openPage(browser, office)
    const code = page.getByLabel('Code', { exact: true })
    const enrol = page.getByRole('button', { name: 'Enrol', exact: true })
    await enrol.click()
    await expect(code).toHaveAccessibleDescription(/Type the code that the office gave you\./)
    await code.fill('ABC')
    await enrol.click()
    await expect(code).toHaveAccessibleDescription(/letters and digits\. Look again\./)
    await code.fill('ABCDE-FGHJK')
    await enrol.click()
    await expect(code).toHaveAccessibleDescription(/is not one of our codes/)
    await expect(code).toBeFocused()
    const good = await office.ask('code', 'bell-yard')
    await code.fill(good.toLowerCase().replace('-', ' '))
    await enrol.click()
    await expect(page.getByRole('heading', { name: 'Bell Yard' })).toBeVisible()
    await hasAll(page)

    const other = await openPage(browser, office, TABLET)
    await other.getByLabel('Code', { exact: true }).fill(good)
    await other.getByRole('button', { name: 'Enrol', exact: true }).click()
    await expect(other.getByRole('alert').getByText(/code (has been|was) used/)).toBeVisible()
    await page.context().close()
    await other.context().close()
  })

  test('a link brings the code, the worker presses the button, and the code leaves the address', async ({
    browser,
  }) => {
    const code = await office.ask('code', 'oyster-lane')
    const looked = await openPage(browser, office, PHONE, `?code=${code}`)
    await looked.context().close()
    const page = await openPage(browser, office, PHONE, `?code=${code}`)
    await expect(page.getByLabel('Code', { exact: true })).toHaveValue(code)
    await page.getByRole('button', { name: 'Enrol', exact: true }).click()
    await expect(page.getByRole('heading', { name: 'Oyster Lane' })).toBeVisible()
    expect(page.url()).not.toContain('code')
    await page.reload()
    await expect(page.getByRole('heading', { name: 'Oyster Lane' })).toBeVisible()
    await page.context().close()
  })

  test('P14 a device whose key was taken back is told so, keeps what waits, and can be enrolled again', async ({
    browser,
  }) => {
    const page = await openPage(browser, office)
    await enrolAt(page, office, 'cooper-row', 'Cooper Row')
    await hasAll(page)
    expect(await office.ask('revoke', 'cooper-row')).toBe(1)
    await expect(page.getByText('The office no longer accepts this device.')).toBeVisible()
    await expect(page.getByText('Nothing was waiting here.')).toBeVisible()
    await enrolAt(page, office, 'cooper-row', 'Cooper Row')
    await hasAll(page)
    await page.context().close()
  })
})

test.describe('a precinct’s day on a phone', () => {
  let page: Page
  test.beforeAll(async ({ browser }) => {
    page = await openPage(browser, office)
    await enrolAt(page, office, 'mill-bridge', 'Mill Bridge')
  })
  test.afterAll(() => page.context().close())

  test('the team, and the opening steps that become possible one after the other', async () => {
    await begin(page, 'Team here')
    await type(page, 'How many workers are here now?', '6')
    await asked(page, 'Who is missing?')
    await page.getByLabel('check-in', { exact: true }).check()
    await press(page, 'Next')
    await type(page, 'How many are missing: check-in?', '1')
    await choose(page, 'Ask the office for standby workers?', 'No, we can do it')
    await end(page, 'Team reported')
    await expect
      .poll(() => lastTold('mill-bridge'))
      .toMatchObject({
        kind: 'TeamReported',
        body: { present: 6, missing: [{ role: 'check-in', howMany: 1 }] },
      })

    await begin(page, 'Opening steps')
    await expect(page.getByRole('listitem').filter({ hasText: /^Ballot box seen empty/ })).toContainText(
      'After: Seals compared with the record',
    )
    await press(page, 'Ballots and packs counted')
    await choose(page, 'Ballots and packs counted', 'Yes, it is so')
    await press(page, 'Both confirmed: go on')
    await expect(page.getByText('Both must confirm. If only one person is here, say so.')).toBeVisible()
    await bothConfirm(page)
    await end(page, 'Step reported')
    await expect
      .poll(() => lastTold('mill-bridge'))
      .toMatchObject({
        kind: 'StepCompleted',
        body: { step: 'ballots', byTwo: true, partiesDiffer: true },
      })
  })

  test('the seals that are there in the morning, each read from itself', async () => {
    await begin(page, 'Seals')
    await expect(page.getByRole('button', { name: /return bag/i })).toHaveCount(0)
    const numbers = {
      'tabulator door': 'E786891',
      'memory device': 'E448379',
      'ballot box': 'E889173',
      'emergency slot': 'E634468',
    }
    for (const [what, number] of Object.entries(numbers)) {
      await press(page, what)
      await type(page, `What number is on the seal of the ${what}?`, number)
      await choose(page, `Is the seal of the ${what} whole?`, 'In place and whole')
      // Once for all of them, with the last.
      if (what === 'emergency slot') await bothConfirm(page)
      await asked(page, 'Seal recorded')
      await expect(page.getByText('The number is the one expected.')).toBeVisible()
      await press(page, 'All seals')
    }
    await expect(page.getByText('recorded; tap to record it again')).toHaveCount(4)
    await toStart(page)
    const seals = (await told('mill-bridge')).filter(e => e.kind === 'SealRecorded')
    expect(seals.map(e => e.body)).toEqual(
      Object.entries(numbers).map(([what, found]) => ({
        container: what.replace(' ', '-'),
        found,
        state: 'intact',
      })),
    )
    await begin(page, 'Opening steps')
    await expect(page.getByRole('listitem').filter({ hasText: 'Seals compared' })).toBeVisible()
    for (const [title, byTwo] of [
      ['Ballot box seen empty and locked', true],
      ['Tabulator seated, intake flap open, powered', false],
      ['Check-in ready', false],
      ['Booths, signs and accessible station ready', false],
    ] as const) {
      await press(page, title)
      await choose(page, title, 'Yes, it is so')
      if (byTwo) await bothConfirm(page)
      await asked(page, 'Step reported')
      await press(page, 'Done')
      await asked(page, 'Opening steps')
    }
    await toStart(page)
  })

  test('the opening tape, check by check', async () => {
    await begin(page, 'Opening tape')
    await press(page, 'Tabulator (T031)')
    for (const question of [
      'Did the opening tape print, whole and readable?',
      'Does the tape name your precinct: Mill Bridge?',
      'Is every total on the tape zero?',
      'Does the tabulator’s public count show 0?',
      'Do names and questions stand in the same order as on the ballot?',
      'Is the seal number written on the tape, and is it the one on the seal?',
      'Has everybody signed the tape who must?',
    ])
      await choose(page, question, 'Yes')
    await bothConfirm(page)
    await end(page, 'Tape verified')
    await expect
      .poll(() => lastTold('mill-bridge'))
      .toMatchObject({
        kind: 'OpeningTapeVerified',
        body: { tabulator: 'T031', byTwo: true, partiesDiffer: true },
      })
  })

  test('opening, not before the legal hour unless it is so', async () => {
    await begin(page, 'Open the polls')
    await choose(
      page,
      /^It is 5:\d\d\. Polls open by law at 6:30, not before\. What is so\?$/,
      'They are not open yet',
    )
    expect((await told('mill-bridge')).some(e => e.kind === 'PollsOpened')).toBe(false)
    await office.ask('playTo', '06:31')
    await expect(page.getByText(/^6:3\d$/)).toBeVisible()
    await begin(page, 'Open the polls')
    await choose(page, 'Are voters being let in?', 'Yes, polls are open')
    await end(page, 'Polls are open')
    await expect.poll(() => lastTold('mill-bridge')).toMatchObject({ kind: 'PollsOpened', body: {} })
  })

  test('counts; one that goes backwards is asked about', async () => {
    await begin(page, 'Counts')
    await type(page, 'How many voters are checked in so far?', '120')
    await type(page, 'What is the public count of Tabulator?', '118')
    await choose(page, 'Anything else to count?', 'No, tell the office')
    await end(page, 'Counts reported')
    await begin(page, 'Counts')
    await type(page, 'How many voters are checked in so far?', '90')
    await choose(page, '90 is less than 120 said before. Which is right?', 'Type it again')
    await type(page, 'How many voters are checked in so far?', '131')
    await asked(page, 'What is the public count of Tabulator?')
    await press(page, 'Not known now')
    await choose(page, 'Anything else to count?', 'Yes: ballots left, spoiled, others')
    await type(page, 'How many unused ballots are left?', '1094')
    for (const what of [
      'ballots are spoiled so far',
      'provisional ballots so far',
      'voted at the curb so far',
    ]) {
      await asked(page, `How many ${what}?`)
      await press(page, 'Not known now')
    }
    await end(page, 'Counts reported')
    const counts = (await told('mill-bridge')).filter(e => e.kind === 'CountsReported')
    expect(counts.map(e => e.body)).toEqual([
      { checkedIn: 120, publicCount: { T031: 118 } },
      { checkedIn: 131, ballotsLeft: 1094 },
    ])
  })

  test('the line, typed on the keypad', async () => {
    await begin(page, 'Line')
    await asked(page, 'How many people are in line to check in?')
    await page.getByRole('button', { name: '1', exact: true }).click()
    await page.getByRole('button', { name: '2', exact: true }).click()
    await press(page, 'Next')
    await type(page, 'How many check-in stations are working?', '3')
    await end(page, 'Line reported')
    await expect
      .poll(() => lastTold('mill-bridge'))
      .toMatchObject({
        kind: 'LineReported',
        body: { inLine: 12, stationsWorking: 3 },
      })
  })

  test('the tabulator stops, the slot is used, it works again, the slot is locked and its ballots fed', async () => {
    await begin(page, 'Equipment')
    await press(page, 'Tabulator (T031)')
    await choose(page, 'Has Tabulator stopped working?', 'Yes, it has stopped')
    await type(page, 'What does it show or do?', 'Paper jam, code 12')
    await asked(page, 'Tabulator is reported down')
    await expect(page.getByText('Open the emergency slot now, so that nobody has to wait.')).toBeVisible()
    await press(page, 'Emergency slot opened')
    await bothConfirm(page)
    await end(page, 'Emergency slot is open')
    await expect(page.getByText('emergency slot in use')).toBeVisible()

    await begin(page, 'Equipment')
    await press(page, 'Tabulator (T031)')
    await choose(page, 'Is Tabulator working again?', 'Yes, the same one works')
    await press(page, 'Emergency slot locked')
    await type(page, 'How many ballots are in the slot now?', '5')
    await bothConfirm(page)
    await end(page, 'Emergency slot is locked')

    await begin(page, 'Slot ballots fed')
    await type(page, 'How many slot ballots did the tabulator take?', '4')
    await type(page, 'How many could not be read and are set aside for hand counting?', '1')
    await asked(page, 'How many were handed over uncounted?')
    await press(page, 'None')
    await bothConfirm(page)
    await end(page, 'Slot ballots reported')
    expect((await told('mill-bridge')).slice(-5).map(e => [e.kind, e.body])).toEqual([
      ['EquipmentWentDown', { equipment: 'T031' }],
      ['EmergencySlotOpened', { byTwo: true, partiesDiffer: true }],
      ['EquipmentRestored', { equipment: 'T031' }],
      ['EmergencySlotLocked', { inSlot: 5, byTwo: true, partiesDiffer: true }],
      ['SlotBallotsFed', { fed: 4, handCounted: 1, handedOver: 0, byTwo: true, partiesDiffer: true }],
    ])
  })

  test('an incident whose words look like a voter’s telephone number is held up with a warning', async () => {
    await begin(page, 'Incident')
    await choose(page, 'What kind of thing is it?', 'conduct')
    await type(page, 'What happened?', 'Shouting at the door, number 414-555-0144')
    await expect(page.getByText('This looks like a telephone number.')).toBeVisible()
    await press(page, 'Change it')
    await type(page, 'What happened?', 'Shouting at the door, over by now')
    await asked(page, 'How did it end, or what was done?')
    await press(page, 'Not ended yet')
    await end(page, 'Incident noted')
    await expect
      .poll(() => lastTold('mill-bridge'))
      .toMatchObject({
        kind: 'IncidentNoted',
        body: { category: 'conduct' },
        detail: { what: 'Shouting at the door, over by now' },
      })
  })

  test('supplies, an opened ballot box, and a call back', async () => {
    await begin(page, 'Ask for supplies')
    await choose(page, 'What is running short?', 'Ballots')
    await type(page, 'How many do you need?', '100')
    await asked(page, 'Which kind, and by when?')
    await press(page, 'Leave it out')
    await end(page, 'The office knows what you need')
    await begin(page, 'Ballot box opened')
    await choose(page, 'The ballot box was opened. What for?', 'To straighten ballots')
    await bothConfirm(page)
    await choose(page, 'Did you put a new seal on the ballot box?', 'Yes, a new seal is on')
    await type(page, 'What number is on the new seal?', 'E889174')
    await asked(page, 'Anything the record should say?')
    await press(page, 'Nothing more')
    await end(page, 'Opening of the ballot box is on record')
    await begin(page, 'Ask the office to call')
    await choose(page, 'What is it about?', 'equipment')
    await asked(page, 'What should the office know before they call?')
    await press(page, 'Leave it out')
    await expect(page.getByRole('link', { name: 'Call the office: 555-0199' })).toBeVisible()
    await end(page, 'The office is asked to call you')
    expect((await told('mill-bridge')).slice(-4).map(e => [e.kind, e.body])).toEqual([
      ['SuppliesRequested', { item: 'ballots', howMany: 100 }],
      ['BallotBoxOpened', { reason: 'straighten', byTwo: true, partiesDiffer: true }],
      ['SealRecorded', { container: 'ballot-box', found: 'E889174', state: 'intact', act: 'applied' }],
      ['HelpRequested', { about: 'equipment' }],
    ])
  })

  test('closing, the last voter, the closing tape, the sums, the return', async () => {
    await office.ask('playTo', '19:31')
    await begin(page, 'Close the polls')
    await choose(page, 'Are the polls closed?', 'Yes, closed')
    await type(page, 'How many are still in line to vote?', '3')
    await end(page, 'Polls are closed')
    await begin(page, 'Last voter served')
    await choose(page, 'Has everybody in line voted?', 'Yes, the last voter is served')
    await end(page, 'Last voter served')
    await begin(page, 'Closing tape')
    await press(page, 'Tabulator (T031)')
    await type(page, 'What is the last public count of Tabulator?', '640')
    await bothConfirm(page)
    await end(page, 'Closing tape reported')
    await begin(page, 'Compare the counts')
    await asked(page, 'Compare the counts')
    await expect(page.getByLabel('Ballots delivered')).toHaveValue('1225')
    await expect(page.getByLabel('Public count of Tabulator')).toHaveValue('640')
    for (const [line, number] of [
      ['Unused ballots left', '577'],
      ['In the emergency slot, not fed', '0'],
      ['Spoiled ballots', '6'],
      ['Provisional ballots', '2'],
      ['Challenged ballots', '0'],
      ['Voters checked in', '642'],
    ] as const)
      await page.getByLabel(line).fill(number)
    await expect(page.getByText('Ballots agree: 648 used, 648 found.')).toBeVisible()
    await expect(page.getByText('Voters agree: 642 checked in.')).toBeVisible()
    await press(page, 'Go on')
    await bothConfirm(page)
    await end(page, 'Counts reported as reconciled')
    await begin(page, 'Closing steps')
    await press(page, 'Memory device taken and sealed')
    await choose(page, 'Memory device taken and sealed', 'Yes, it is so')
    await bothConfirm(page)
    await press(page, 'Done')
    await press(page, 'Materials packed for the return')
    await choose(page, 'Materials packed for the return', 'Yes, it is so')
    await end(page, 'Step reported')
    await begin(page, 'Return on its way')
    await choose(page, 'No seal is on record for: return bag', 'Leave without it')
    await type(page, 'How many people carry the materials?', '2')
    await asked(page, 'Those who carry it go together')
    await bothConfirm(page)
    await asked(page, 'What goes with them?')
    for (const item of ['Voted ballots', 'Memory device', 'Tapes']) await page.getByLabel(item).check()
    await press(page, 'Next')
    await type(page, 'Which seal numbers are on what they carry?', 'E708848\n')
    await end(page, 'The office expects your return')
    await expect(page.getByText('returning')).toBeVisible()
    expect((await told('mill-bridge')).slice(-9).map(e => [e.kind, e.body])).toEqual([
      ['PollsClosed', { stillInLine: 3 }],
      ['LastVoterServed', {}],
      ['StepCompleted', { step: 'last-voter' }],
      ['ClosingTapeSigned', { tabulator: 'T031', publicCount: 640, byTwo: true, partiesDiffer: true }],
      [
        'CountsReconciled',
        {
          delivered: 1225,
          left: 577,
          tabulated: 640,
          inSlot: 0,
          spoiled: 6,
          provisional: 2,
          challenged: 0,
          checkedIn: 642,
          byTwo: true,
          partiesDiffer: true,
        },
      ],
      ['StepCompleted', { step: 'reconcile', byTwo: true, partiesDiffer: true }],
      ['StepCompleted', { step: 'memory', byTwo: true, partiesDiffer: true }],
      ['StepCompleted', { step: 'pack' }],
      [
        'ReturnDeparted',
        {
          carriers: 2,
          items: ['ballots-voted', 'memory-device', 'tapes'],
          seals: ['E708848'],
          partiesDiffer: true,
        },
      ],
    ])
    const numbers = (await told('mill-bridge')).map(e => e.number)
    expect(numbers).toEqual(numbers.map((_, i) => i + 1))
  })
})

test.describe('on a tablet', () => {
  test('a tape that is wrong and a seal that is missing stop the worker and name the telephone', async ({
    browser,
  }) => {
    const page = await openPage(browser, office, TABLET)
    await enrolAt(page, office, 'ropewalk', 'Ropewalk')
    await page.goto(`${office.url}/precinct#tapes`)
    await press(page, 'Tabulator (T041)')
    await choose(page, /print, whole/, 'Yes')
    await choose(page, /name your precinct: Ropewalk/, 'Yes')
    await choose(page, /every total on the tape zero/, 'No')
    await asked(page, 'What is wrong? Tick all that you saw.')
    await expect(page.getByLabel('not all zeros')).toBeChecked()
    await page.getByLabel('signatures missing').check()
    await press(page, 'Next')
    await type(page, 'What exactly does the tape show?', 'Two under the first contest')
    await asked(page, 'Keep Tabulator out of use. Call the office now.')
    await expect(page.getByText(/never a reason to keep them shut/)).toBeVisible()
    await expect(page.getByRole('link', { name: 'Call the office: 555-0199' })).toHaveAttribute(
      'href',
      'tel:555-0199',
    )
    await expect
      .poll(() => lastTold('ropewalk'))
      .toMatchObject({
        kind: 'OpeningTapeRejected',
        body: { tabulator: 'T041', problems: ['not-zero', 'signatures'] },
        detail: { what: 'Two under the first contest' },
      })
    await page.goto(`${office.url}/precinct#seals`)
    await press(page, 'ballot box')
    await asked(page, 'What number is on the seal of the ballot box?')
    await press(page, 'There is no number to read')
    await choose(page, 'Why is there no number on the ballot box?', 'There is no seal')
    await asked(page, 'Do not go on with the ballot box')
    await expect(page.getByText('The office has it.')).toBeVisible()
    await expect
      .poll(() => lastTold('ropewalk'))
      .toMatchObject({
        kind: 'SealRecorded',
        body: { container: 'ballot-box', state: 'missing' },
      })
    await page.context().close()
  })
})

/** Says three things, which wait. */
async function sayThree(page: Page) {
  for (const inLine of ['4', '5', '6']) {
    await begin(page, 'Line')
    await type(page, 'How many people are in line to check in?', inLine)
    await asked(page, 'How many check-in stations are working?')
    await press(page, 'Leave it out')
    await asked(page, 'Line reported')
    await expect(page.getByText('Saved here. The office gets it as soon as it can be reached.')).toBeVisible()
    await toStart(page)
  }
}

test.describe('without the office', () => {
  test('P5 what is said without a network is numbered, kept, and arrives in order by itself', async ({
    browser,
  }) => {
    const page = await openPage(browser, office)
    await enrolAt(page, office, 'gull-point', 'Gull Point')
    await hasAll(page)
    let loads = 0
    page.on('load', () => loads++)
    await page.context().setOffline(true)
    await expect(page.getByText(/^No connection since \d+:\d\d\. Go on reporting/)).toBeVisible({
      timeout: 60_000,
    })
    await sayThree(page)
    await expect(page.getByText(/^3 reports waiting, office last heard you \d+:\d\d$/)).toBeVisible()
    await page.waitForTimeout(4_000)
    await press(page, 'What was said today')
    await expect(page.getByText('waiting', { exact: true })).toHaveCount(3)
    expect(await told('gull-point')).toEqual([])
    await page.context().setOffline(false)
    await hasAll(page)
    await expect(page.getByText('office has it', { exact: true })).toHaveCount(3)
    expect((await told('gull-point')).map(e => [e.number, e.body.inLine])).toEqual([
      [1, 4],
      [2, 5],
      [3, 6],
    ])
    expect(loads).toBe(0)
    await page.context().close()
  })

  test('P1 the server is killed while reports wait: all arrive once, in order', async ({ browser }) => {
    const page = await openPage(browser, office, TABLET)
    await enrolAt(page, office, 'fog-bell', 'Fog Bell')
    await begin(page, 'Team here')
    await type(page, 'How many workers are here now?', '5')
    await press(page, 'Nobody is missing')
    await end(page, 'Team reported')
    await office.kill()
    await sayThree(page)
    await expect(page.getByText(/^3 reports waiting/)).toBeVisible()
    await office.restart()
    await expect(page.getByText(/^Office has everything, last heard you/)).toBeVisible({ timeout: 60_000 })
    const all = await told('fog-bell')
    expect(all.map(e => e.number)).toEqual([1, 2, 3, 4])
    expect(all.slice(1).map(e => e.body.inLine)).toEqual([4, 5, 6])
    expect(await office.ask('verify', null)).toBe(true)
    await page.context().close()
  })

  test('P7 a clock that is two hours ahead misdates nothing', async ({ browser }) => {
    const context = await browser.newContext({ viewport: PHONE })
    await context.addInitScript(() => {
      const Real = Date
      const ahead = 2 * 3_600_000
      const shifted = new Proxy(Real, {
        construct: (of, given) =>
          given.length === 0 ? new of(Real.now() + ahead) : Reflect.construct(of, given),
        get: (of, name) => (name === 'now' ? () => Real.now() + ahead : Reflect.get(of, name)),
      })
      globalThis.Date = shifted as DateConstructor
    })
    const page = await context.newPage()
    await page.goto(`${office.url}/precinct`)
    await enrolAt(page, office, 'seawall', 'Seawall')
    expect(await page.evaluate(() => Date.now())).toBeGreaterThan(Date.now() + 7_100_000)
    await begin(page, 'Line')
    await type(page, 'How many people are in line to check in?', '7')
    await press(page, 'Leave it out')
    await end(page, 'Line reported')
    const line = (await lastTold('seawall'))!
    expect(line.kind).toBe('LineReported')
    const late = Date.parse(line.recordedAt) - Date.parse(line.occurredAt)
    expect(late).toBeGreaterThanOrEqual(0)
    expect(late).toBeLessThan(10_000)
    expect(Number(line.origin.skewSeconds)).toBeGreaterThan(7_100)
    // What the page shows is the county's time as well, whatever its own clock says.
    await press(page, 'What was said today')
    const clock = new Intl.DateTimeFormat('en-US', {
      timeStyle: 'short',
      hourCycle: 'h23',
      timeZone: 'America/New_York',
    })
    const minutes = [-2_000, 2_000].map(ms =>
      clock.format(Date.parse(line.occurredAt) + ms).replace(/^0/, ''),
    )
    await expect(page.getByRole('listitem').filter({ hasText: 'In line: 7' })).toContainText(
      new RegExp(`^(${minutes.join('|')}) In line: 7`),
    )
    await context.close()
  })
})
