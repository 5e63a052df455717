import type { PlanIndex } from '../plan/brief.ts'
import { NO_RHYTHM } from '../silence/accrual.ts'
import type { CallState, DayState, PrecinctState } from './state.ts'

/** A line that nobody took. */
export const IDLE: CallState = {
  takenBy: null,
  takenAt: null,
  backUntil: null,
  lastOutcome: null,
  lastAt: null,
}

/**
 * The day before its first entry: every planned precinct, nothing heard of any. Entries of precincts that
 * aren't here are counted nowhere.
 */
export function initialDay(day: string, index: PlanIndex): DayState {
  return {
    day,
    cursor: 0,
    recordedAt: 0,
    planHash: null,
    kind: index.plan.kind,
    closed: false,
    precincts: new Map(index.plan.precincts.map(p => [p.code, initialPrecinct(p.code)])),
    errands: new Map(),
    notices: [],
    reasons: {},
    graceUntil: 0,
    forecastBase: null,
  }
}

function initialPrecinct(code: string): PrecinctState {
  return {
    code,
    heardAt: null,
    silentSince: null,
    rhythm: NO_RHYTHM,
    device: null,
    devices: [],
    keptAside: {},
    team: null,
    steps: {},
    stepsSaid: {},
    tapes: {},
    seals: {},
    sealWork: [],
    polls: null,
    openedAt: null,
    closedAt: null,
    withSlot: false,
    moved: null,
    counts: {},
    publicCounts: {},
    stationsWorking: null,
    stationsSaid: {},
    curve: {},
    lines: {},
    down: {},
    downSaid: {},
    downList: null,
    replaced: {},
    replacements: {},
    slot: null,
    feeds: [],
    setAside: [],
    changes: [],
    silences: [],
    marks: [],
    help: [],
    helpSaid: [],
    helpAnsweredAt: null,
    solvedAt: 0,
    incidents: 0,
    reconciled: null,
    closingTapes: {},
    departed: null,
    received: null,
    reasons: {},
    call: IDLE,
    noticesRead: {},
    touchedAt: 0,
  }
}
