import { cleanup, render, screen, waitFor, within } from '@testing-library/react'
import userEvent from '@testing-library/user-event'
import fc from 'fast-check'
import { useState } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { SayOutcome } from '../../../app/live/outbox.ts'
import type { KeptReport } from '../../../app/live/outboxStore.ts'
import type { Around, ToSay } from '../../../app/precinct/asking/question.ts'
import { AfterLeaving } from '../../../app/precinct/closing/AfterLeaving.tsx'
import { Custody } from '../../../app/precinct/closing/Custody.tsx'
import { NO_DRAFT, Reconcile } from '../../../app/precinct/closing/Reconcile.tsx'
import { rowsOf, sumsOf } from '../../../app/precinct/closing/sums.ts'
import { pageStateOf } from '../../../app/precinct/pageState.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { sealPrint } from '../../../server/domain/plan/sealPrint.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { aDevicePlan, around, said } from './given.ts'

afterEach(cleanup)
beforeEach(() => {
  vi.spyOn(window, 'scrollTo').mockImplementation(() => undefined)
})

const T1_ONLY = [{ tag: 'T1', label: 'Tabulator 1' }]
const closed = (has: Partial<DevicePlan['has']> = {}): DevicePlan => ({
  ...aDevicePlan({ polls: 'closed', ...has }),
  tabulators: T1_ONLY,
  countTolerance: 0,
})

type PageProps = { here: Around; say(report: ToSay): Promise<SayOutcome>; go(to: string): void }

function Page({ here, say, go }: PageProps) {
  const [draft, setDraft] = useState(NO_DRAFT)
  return (
    <Reconcile
      around={here}
      draft={draft}
      setDraft={setDraft}
      say={say}
      leave={() => go('left')}
      go={go}
      allHeard
    />
  )
}

function theSheet(plan: DevicePlan, reports: KeptReport[] = []) {
  const sent: ToSay[] = []
  const went: string[] = []
  render(
    <Page
      here={around(plan, reports)}
      say={async report => {
        sent.push(report)
        return { ok: true, number: sent.length }
      }}
      go={to => went.push(to)}
    />,
  )
  const user = userEvent.setup()
  return {
    sent,
    went,
    user,
    tap: (name: string | RegExp) => user.click(screen.getByRole('button', { name })),
    async fill(lines: Record<string, number>) {
      for (const [label, n] of Object.entries(lines)) {
        const field = screen.getByLabelText(label)
        await user.clear(field)
        await user.type(field, String(n))
      }
    },
    result: () => screen.getByRole('status').textContent,
  }
}

const LINES = {
  'Ballots delivered': 0,
  'Unused ballots left': 0,
  'Public count of Tabulator 1': 0,
  'In the emergency slot, not fed': 0,
  'Spoiled ballots': 0,
  'Provisional ballots': 0,
  'Challenged ballots': 0,
  'Voters checked in': 0,
}

/** Four published reconciliation sheets of one North Carolina county: used, not scanned, scanner = check-ins. */
const PUBLISHED = [
  ['2023-11-07', 5_400, 4_256, 1_144, 6, 1_138],
  ['2016-11-08', 3_100, 2_131, 969, 35, 934],
  ['2015-11-03', 1_401, 963, 438, 7, 431],
  ['2014-05-06', 3_203, 2_685, 518, 6, 512],
] as const

describe('comparing the counts', () => {
  it.each(PUBLISHED)(
    'holds on the published sheet of %s',
    async (_, delivered, left, used, notScanned, scanned) => {
      const sheet = theSheet(closed())
      await sheet.fill({
        ...LINES,
        'Ballots delivered': delivered,
        'Unused ballots left': left,
        'Public count of Tabulator 1': scanned,
        'Spoiled ballots': notScanned,
        'Voters checked in': scanned,
      })
      expect(sheet.result()).toBe(
        `Ballots agree: ${used} used, ${used} found.Voters agree: ${scanned} checked in.`,
      )
      await sheet.tap('Go on')
      screen.getByRole('heading', { name: 'Two people compared the numbers' })
    },
  )

  it('shows a difference with each key, in figures, and each identity by itself', async () => {
    const sheet = theSheet(
      closed({ ballotsLeft: 4_256, publicCount: { T1: 1_138 }, inSlot: 0, provisional: 0 }),
    )
    expect(sheet.result()).toBe('Fill in every line to see if they agree.')
    await sheet.user.type(screen.getByLabelText('Voters checked in'), '1138')
    expect(sheet.result()).toContain('Voters agree: 1138 checked in.')
    await sheet.fill({ 'Ballots delivered': 5_400, 'Challenged ballots': 0, 'Spoiled ballots': 5 })
    expect(sheet.result()).toContain('Ballots differ: 1144 used, 1143 found. 1 not found.')
    await sheet.user.type(screen.getByLabelText('Spoiled ballots'), '{Backspace}6')
    expect(sheet.result()).toContain('Ballots agree: 1144 used, 1144 found.')
    await sheet.fill({ 'Voters checked in': 1_137 })
    expect(sheet.result()).toContain(
      'Voters differ: 1137 checked in, 1138 voted. 1 more voted than checked in.',
    )
  })

  it('marks what is known already until it is typed over', async () => {
    const sheet = theSheet(closed({ publicCount: { T1: 88 }, spoiled: 3 }))
    const field = screen.getByLabelText<HTMLInputElement>('Spoiled ballots')
    const help = () =>
      document.getElementById(field.getAttribute('aria-describedby')!.split(' ')[0]!)!.textContent
    expect([field.value, help()]).toEqual(['3', 'Known already. Check it.'])
    await sheet.fill({ 'Spoiled ballots': 4 })
    expect([field.value, help()]).toEqual(['4', ''])
  })

  it('says beside an empty line what is wanted, and goes there', async () => {
    const sheet = theSheet(closed({ ballotsLeft: 1 }))
    await sheet.tap('Go on')
    const field = screen.getByLabelText('Public count of Tabulator 1')
    expect(document.activeElement).toBe(field)
    expect(field).toHaveProperty('ariaInvalid', 'true')
    expect(screen.getAllByText('Type a number here. Type 0 if there are none.').length).toBeGreaterThan(0)
    expect(sheet.sent).toEqual([])
  })

  it('sends what was counted with the explanation, or without one, and who compared', async () => {
    const sheet = theSheet(closed())
    await sheet.fill({ ...LINES, 'Ballots delivered': 10, 'Unused ballots left': 4, 'Spoiled ballots': 5 })
    await sheet.tap('Go on')
    screen.getByRole('heading', { name: 'The numbers differ. What explains it?' })
    await sheet.tap('It is not explained')
    for (const box of screen.getAllByRole('checkbox')) await sheet.user.click(box)
    await sheet.tap('Both confirmed: go on')
    await waitFor(() => screen.getByText('The office sees the difference and will ask about it.'))
    expect(sheet.sent).toEqual([
      {
        kind: 'CountsReconciled',
        body: {
          delivered: 10,
          left: 4,
          tabulated: 0,
          inSlot: 0,
          spoiled: 5,
          provisional: 0,
          challenged: 0,
          checkedIn: 0,
          byTwo: true,
          partiesDiffer: true,
        },
      },
    ])
    await sheet.tap('Done')
    expect(sheet.went).toEqual(['left'])
  })

  it('comes back to the sheet with what was typed', async () => {
    const sheet = theSheet(closed())
    await sheet.fill({ ...LINES, 'Spoiled ballots': 5 })
    await sheet.tap('Go on')
    await sheet.tap('Back')
    expect(screen.getByLabelText<HTMLInputElement>('Spoiled ballots').value).toBe('5')
  })
})

describe('ballots that still lie in the slot', () => {
  it('come first: the page leads to them', async () => {
    const sheet = theSheet(closed({ inSlot: 23, slotOpen: true }))
    screen.getByRole('heading', { name: '23 ballots wait in the emergency slot' })
    await sheet.tap('Lock the emergency slot')
    await sheet.tap('Slot ballots fed')
    expect(sheet.went).toEqual(['flow/slot-locked', 'flow/slot-fed'])
  })

  it('lock nobody out: going on wants a reason, which is sent', async () => {
    const sheet = theSheet(closed({ inSlot: 6 }))
    await sheet.tap('Go on, and say why')
    await sheet.fill({
      ...LINES,
      'Ballots delivered': 6,
      'In the emergency slot, not fed': 6,
      'Voters checked in': 6,
    })
    await sheet.tap('Go on')
    screen.getByRole('heading', { name: 'Why are ballots still in the slot?' })
    await sheet.user.keyboard('the tabulator never came back')
    await sheet.tap('Next')
    await sheet.tap('Only one person is here')
    await waitFor(() => expect(sheet.sent).toHaveLength(1))
    expect(sheet.sent[0]!.body).toMatchObject({
      inSlot: 6,
      explanation: 'the tabulator never came back',
      byTwo: false,
    })
  })
})

describe('the sums', () => {
  const words = wordsOf('en')
  const sums = (plan: DevicePlan, typed: Record<string, string>, reports: KeptReport[] = []) =>
    sumsOf(plan, rowsOf(plan, pageStateOf(plan, 0, reports), words), typed)
  const zeros = { left: '0', inSlot: '0', spoiled: '0', provisional: '0', challenged: '0' }

  it('count sheets by the ballot, and say where they make no whole ballots', () => {
    const plan = { ...closed(), precinct: { ...closed().precinct, sheets: 2, ballots: 100 } }
    const even = sums(plan, { ...zeros, 'tabulator:T1': '200', checkedIn: '100' })
    expect(even).toMatchObject({ found: 100, holds: true, oddSheets: null })
    expect(sums(plan, { ...zeros, 'tabulator:T1': '199', checkedIn: '100' })).toMatchObject({
      oddSheets: 199,
    })
  })

  it('add what a tabulator had counted before another one took its place', () => {
    const reports = [
      said('CountsReported', { publicCount: { T1: 131 } }),
      said('EquipmentReplaced', { equipment: 'T1', by: 'T9' }),
    ]
    const plan = { ...closed(), precinct: { ...closed().precinct, ballots: 200 } }
    const both = sums(plan, { ...zeros, 'tabulator:T9': '69', checkedIn: '200' }, reports)
    expect(both).toMatchObject({ found: 200, holds: true })
  })

  it('take the ballots of the box where they are tabulated elsewhere', () => {
    const plan: DevicePlan = {
      ...closed(),
      tabulators: [],
      precinct: { ...closed().precinct, ballots: 80, counted: 'centrally' },
    }
    const central = sums(plan, { ...zeros, box: '80', checkedIn: '80' })
    expect(central).toMatchObject({ found: 80, holds: true, counts: { tabulated: 80, inSlot: 0 } })
  })

  it('are never NaN or infinite, whatever is typed', () => {
    const lines = fc.dictionary(
      fc.constantFrom('delivered', 'tabulator:T1', 'checkedIn', ...Object.keys(zeros)),
      fc.oneof(fc.nat(2_000_000).map(String), fc.string()),
    )
    fc.assert(
      fc.property(lines, fc.integer({ min: 1, max: 4 }), (typed, sheets) => {
        const plan = { ...closed(), precinct: { ...closed().precinct, sheets } }
        const { used, found, voted, differences, counts } = sums(plan, typed)
        for (const n of [
          used,
          found,
          voted,
          differences.ballots,
          differences.voters,
          ...Object.values(counts ?? {}),
        ])
          expect(n === null || Number.isSafeInteger(n)).toBe(true)
      }),
      { seed: 20261103 },
    )
  })
})

describe('seals and custody', () => {
  const plan: DevicePlan = {
    ...closed(),
    containers: ['ballot-box'],
    closingContainers: ['return-bag'],
    sealPrints: {
      'ballot-box': sealPrint('ellery', 'ballot-box', 'E100'),
      'return-bag': sealPrint('ellery', 'return-bag', 'R200'),
    },
  }
  const found = {
    at: '2026-11-03T10:50:00.000Z',
    container: 'ballot-box',
    act: 'found',
    number: 'E100',
    state: 'intact',
  } as const

  function custody(withHas: DevicePlan, reports: KeptReport[] = []) {
    const went: string[] = []
    render(
      <Custody
        plan={withHas}
        page={pageStateOf(withHas, 0, reports)}
        time={at => new Date(at).toISOString().slice(11, 16)}
        dayOf={Date.parse}
        go={to => went.push(to)}
        leave={() => undefined}
      />,
    )
    const of = (name: string) => within(screen.getByRole('region', { name }))
    return { went, of }
  }

  it('shows the chain with its gaps in words, from the office and from this tablet, and never the number expected', async () => {
    const has = { ...plan, has: { ...plan.has, sealWork: [found] } }
    const off = said('SealRecorded', {
      container: 'ballot-box',
      found: 'E101',
      state: 'intact',
      act: 'removed',
    })
    const { went, of } = custody(has, [off])
    const box = of('ballot box')
    box.getByText('looked at: E100')
    box.getByText('seal taken off: E101')
    box.getByText('another number was expected')
    box.getByText('open since then: no new seal is on record')
    of('return bag').getByText('Nothing on record yet.')
    expect(document.body.textContent).not.toContain('R200')
    await userEvent.click(of('return bag').getByRole('button', { name: 'New seal put on' }))
    expect(went).toEqual(['flow/seal-on/return-bag'])
  })

  it('keeps the number that is expected at the next look, until the return has left', () => {
    const on = said('SealRecorded', {
      container: 'return-bag',
      found: 'r 200',
      state: 'intact',
      act: 'applied',
    })
    const has = { ...plan, has: { ...plan.has, sealWork: [found] } }
    const { of } = custody(has, [on])
    of('ballot box').getByText('looked at: its number is on record')
    of('return bag').getByText('seal put on: its number is on record')
    expect(document.body.textContent).not.toMatch(/E100|200/)
    cleanup()
    const gone = said('ReturnDeparted', { carriers: 2, items: [], seals: ['R200'] })
    custody(has, [on, gone]).of('return bag').getByText('seal put on: r 200')
  })

  it('says where the morning’s seal was never looked at, and where nothing is missing', () => {
    const first = custody(plan)
    first.of('ballot box').getByText('nobody looked at the morning’s seal')
    cleanup()
    const fine = custody({ ...plan, has: { ...plan.has, sealWork: [found] } })
    fine.of('ballot box').getByText('No gap on record.')
  })
})

describe('after the return has left', () => {
  const left = said('ReturnDeparted', { carriers: 2, items: ['tapes'], seals: ['R200'] })
  it('says what comes next, and what left', () => {
    const plan = closed()
    render(<AfterLeaving page={pageStateOf(plan, 0, [left])} timeOf={() => '21:10'} />)
    screen.getByRole('heading', { name: 'On the way' })
    screen.getByText('Stay together, and stay with the materials.')
    screen.getByText('Seals: R200')
  })
  it('ends with thanks and what was received, once the office has it', () => {
    const plan = closed({ departed: true, received: true })
    render(<AfterLeaving page={pageStateOf(plan, 0, [left])} timeOf={() => '21:10'} />)
    screen.getByRole('heading', { name: 'Thank you. The office has your materials.' })
    screen.getByText('Left at 21:10')
    screen.getByText('Carried by 2')
    screen.getByText('With it: Tapes')
  })
})
