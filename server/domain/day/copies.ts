import type { DeviceState, PrecinctState } from './state.ts'

/**
 * Fresh copies for the fold to write into. Field by field: of so many fields a spread takes seven times as long
 * (1.3 µs against 0.18 µs, Node 20), and it is the most frequent thing that the fold does.
 */

export function copyOf(p: PrecinctState): PrecinctState {
  return {
    code: p.code,
    heardAt: p.heardAt,
    silentSince: p.silentSince,
    rhythm: p.rhythm,
    device: p.device,
    devices: p.devices,
    keptAside: p.keptAside,
    team: p.team,
    steps: p.steps,
    stepsSaid: p.stepsSaid,
    tapes: p.tapes,
    seals: p.seals,
    sealWork: p.sealWork,
    polls: p.polls,
    openedAt: p.openedAt,
    closedAt: p.closedAt,
    withSlot: p.withSlot,
    moved: p.moved,
    counts: p.counts,
    publicCounts: p.publicCounts,
    stationsWorking: p.stationsWorking,
    stationsSaid: p.stationsSaid,
    curve: p.curve,
    lines: p.lines,
    down: p.down,
    downSaid: p.downSaid,
    downList: p.downList,
    replaced: p.replaced,
    replacements: p.replacements,
    slot: p.slot,
    feeds: p.feeds,
    setAside: p.setAside,
    changes: p.changes,
    silences: p.silences,
    marks: p.marks,
    help: p.help,
    helpSaid: p.helpSaid,
    helpAnsweredAt: p.helpAnsweredAt,
    solvedAt: p.solvedAt,
    incidents: p.incidents,
    reconciled: p.reconciled,
    closingTapes: p.closingTapes,
    departed: p.departed,
    received: p.received,
    reasons: p.reasons,
    call: p.call,
    noticesRead: p.noticesRead,
    touchedAt: p.touchedAt,
  }
}

export function copyOfDevice(d: DeviceState): DeviceState {
  return {
    id: d.id,
    heardAt: d.heardAt,
    battery: d.battery,
    charging: d.charging,
    waiting: d.waiting,
    skewSeconds: d.skewSeconds,
    revoked: d.revoked,
    toldAt: d.toldAt,
  }
}

type Counts = PrecinctState['counts']

export function copyOfCounts(c: Counts): { -readonly [K in keyof Counts]: Counts[K] } {
  return {
    checkedIn: c.checkedIn,
    inLine: c.inLine,
    inSlot: c.inSlot,
    spoiled: c.spoiled,
    provisional: c.provisional,
    curbside: c.curbside,
    ballotsLeft: c.ballotsLeft,
  }
}
