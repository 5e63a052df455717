import type { Instant } from '../../server/domain/time.ts'
import { type DevicePlan, devicePlan } from '../../server/protocol/device.ts'
import type { HeardClock } from './deviceClock.ts'

export type KeptPlan = { plan: unknown; planAt: number }
export type KeptHeard = { lastHeard: Instant | null; clock: HeardClock | null }

/** What a plan has where the server that sent it didn't know the field yet. */
const LATER = {
  closingContainers: [],
  sealPrints: {},
  cards: [],
  notices: [],
  contacts: [],
  roles: [],
  countTolerance: 0,
  page: {
    sound: false,
    phonesInRoom: true,
    twoParties: true,
    carrierNames: false,
    openWithSlot: true,
    slotReminderMinutes: 20,
  },
  has: {
    sealsWrong: [],
    sealWork: [],
    team: null,
    countedAt: null,
    inSlot: null,
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
  },
  precinct: { sheets: 1, counted: 'here' },
} as const
const LATER_OF_STEP = { byTwo: false, guide: null }

/**
 * A plan as a page of before kept it: what came later is filled in, so that a page that was brought up to date without
 * a network still knows its precinct. null: it can't be read.
 */
export function keptPlan(kept: unknown): DevicePlan | null {
  if (!isRecord(kept)) return null
  const parsed = devicePlan.safeParse({
    ...LATER,
    ...kept,
    page: { ...LATER.page, ...recordOf(kept.page) },
    has: { ...LATER.has, ...recordOf(kept.has) },
    precinct: { ...LATER.precinct, ...recordOf(kept.precinct) },
    steps: Array.isArray(kept.steps) ? kept.steps.map(step => ({ ...LATER_OF_STEP, ...step })) : kept.steps,
  })
  return parsed.success ? parsed.data : null
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null
const recordOf = (value: unknown) => (isRecord(value) ? value : {})
