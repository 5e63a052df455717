import type { DeviceLinkState } from '../../../app/live/deviceLink.ts'
import { createOutbox, type Outbox } from '../../../app/live/outbox.ts'
import { createMemoryStore } from '../../../app/live/outboxMemory.ts'
import type { KeptReport } from '../../../app/live/outboxStore.ts'
import type { Around } from '../../../app/precinct/asking/question.ts'
import { pageStateOf } from '../../../app/precinct/pageState.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { pagePolicy } from '../../../server/domain/plan/precinctPage.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import type { handOffice } from '../../support/outboxHands.ts'

export const OPENS = Date.parse('2026-11-03T11:30:00Z')
export const CLOSES = Date.parse('2026-11-04T00:30:00Z')

const step = (
  code: string,
  after: string[],
  completedBy: 'step' | 'team' | 'seals' | 'tape' = 'step',
  phase: 'opening' | 'closing' = 'opening',
): DevicePlan['steps'][number] => ({
  code,
  phase,
  title: `Do ${code}`,
  after,
  byTwo: false,
  completedBy,
  guide: null,
})

/** Harbor Hall as its device gets it: two tabulators, two containers, six opening and three closing steps. */
export function aDevicePlan(has: Partial<DevicePlan['has']> = {}): DevicePlan {
  return {
    wire: 1,
    day: 'ellery',
    kind: 'practice',
    county: 'Ellery County',
    dayName: 'General election',
    timeZone: 'America/New_York',
    opensAt: new Date(OPENS).toISOString(),
    closesAt: new Date(CLOSES).toISOString(),
    officePhone: '555-0199',
    precinct: {
      code: 'harbor-hall',
      name: 'Harbor Hall',
      place: 'Harbor Hall',
      workers: 9,
      ballots: 1_400,
      sheets: 1,
      counted: 'here',
    },
    contacts: [],
    tabulators: [
      { tag: 'T1', label: 'Tabulator 1' },
      { tag: 'T2', label: 'Tabulator 2' },
    ],
    equipment: [
      { tag: 'T1', kind: 'tabulator', label: 'Tabulator 1' },
      { tag: 'T2', kind: 'tabulator', label: 'Tabulator 2' },
      { tag: 'A1', kind: 'accessible-station', label: 'Accessible station' },
    ],
    containers: ['ballot-box', 'tabulator-door'],
    closingContainers: [],
    sealPrints: {},
    roles: ['precinct lead', 'greeter'],
    steps: [
      step('team', [], 'team'),
      step('seals', ['team'], 'seals'),
      step('box', ['seals']),
      step('tape', ['box'], 'tape'),
      step('last-voter', [], 'step', 'closing'),
      step('closing-tape', ['last-voter'], 'tape', 'closing'),
      step('pack', ['closing-tape'], 'step', 'closing'),
    ],
    cards: [],
    heartbeatSeconds: 30,
    countEveryMinutes: 75,
    countTolerance: 2,
    page: pagePolicy.parse({}),
    notices: [],
    has: {
      standing: 'not-heard',
      steps: [],
      tapes: {},
      seals: [],
      sealsWrong: [],
      sealWork: [],
      team: null,
      polls: 'not-open',
      slotOpen: false,
      down: [],
      checkedIn: null,
      inSlot: null,
      countedAt: null,
      ballotsLeft: null,
      spoiled: null,
      provisional: null,
      curbside: null,
      inLine: null,
      publicCount: {},
      replaced: {},
      closingTapes: [],
      reconciled: false,
      placeMoved: false,
      received: false,
      departed: false,
      ...has,
    },
  }
}

let number = 0
/** A report of this device, waiting; `dealtAt` (wall ms): the office has it since then. */
export function said(
  kind: string,
  body: Record<string, unknown>,
  over: Partial<KeptReport> = {},
): KeptReport {
  number += 1
  return {
    device: 'd-1',
    number,
    at: new Date(OPENS + number * 60_000).toISOString(),
    kind,
    body,
    dayAt: null,
    state: over.dealtAt === undefined ? 'waiting' : 'had',
    ...over,
  }
}

const clock = (at: number) => new Date(at).toISOString().slice(11, 16)

export function around(plan: DevicePlan, reports: KeptReport[] = [], now = OPENS): Around {
  return {
    plan,
    page: pageStateOf(plan, 0, reports),
    words: wordsOf('en'),
    now,
    time: clock,
    timeOf: at => clock(Date.parse(at)),
  }
}

export function aLink(plan: DevicePlan): DeviceLinkState {
  return {
    link: 'up',
    since: OPENS,
    plan,
    planAt: 0,
    clock: { day: OPENS, speed: 1, wall: OPENS },
    lastHeard: OPENS,
    keepTrouble: false,
    dayClosed: false,
  }
}

/** An outbox over memory that sends to the given office with real timers. */
export async function anOutboxTo(office: ReturnType<typeof handOffice>): Promise<Outbox> {
  const outbox = createOutbox({
    store: createMemoryStore({ device: 'd-1', day: 'ellery', precinct: 'harbor-hall' }),
    transport: office.transport,
    random: () => 0.5,
    clock: {
      now: () => Date.now(),
      after: (ms, then) => {
        const timer = setTimeout(then, ms)
        return () => clearTimeout(timer)
      },
    },
  })
  await outbox.start(0)
  return outbox
}
