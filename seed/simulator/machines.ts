import { type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'
import type { Crowd, CrowdSetting } from './crowd.ts'
import type { Fact } from './script.ts'
import type { Fault, Order, Sense, Unordered } from './trainer.ts'

/**
 * A precinct's tabulators and its emergency slot under a trainer's orders:
 *
 * | order | tabulators | slot |
 * |---|---|---|
 * | tabulator-down | the first that works goes down | opened a minute later, if none works and it is shut |
 * | tabulator-back | the one that went down last works again | locked after two minutes, its ballots fed after five |
 * | slot-left-open | the one that is down works again | stays as it is, or is opened though all work; tabulator-back locks it |
 *
 * Until what follows from an order is done, the next is refused: a team does one thing after the other. A tabulator
 * whose opening tape was rejected stays out of use.
 */
export type Machines = {
  outages: CrowdSetting['outages']
  feeds: readonly Instant[]
  makes: ReadonlyArray<(crowd: Crowd) => Fact>
  slotOpen: boolean
  dropped(fact: Fact): boolean
  /** Whether an order makes sense at the instant that the machines were asked for. */
  sense(what: Fault, hhmm: (at: Instant) => string): Sense
}

const SLOT_OPENED = 60 * SECOND
const SLOT_LOCKED = 2 * MINUTE
const SLOT_FED = 5 * MINUTE
const FOREVER = Number.POSITIVE_INFINITY
const isAbout = (what: Fault) =>
  what === 'tabulator-down' || what === 'tabulator-back' || what === 'slot-left-open'

/** @param at where no order has taken the machines out of the story's hands: how they stand then. */
export function machinesOf(base: Unordered, orders: readonly Order[], at: Instant = FOREVER): Machines {
  const { tabulators } = base.playing.planned
  const mine = orders.filter(o => isAbout(o.what))
  const takenAt = mine[0]?.at ?? FOREVER
  const stood = Math.min(takenAt, at)
  const rejected = new Set(
    base.facts.filter(f => f.kind === 'OpeningTapeRejected').map(f => String(f.body.tabulator)),
  )
  const outages: Array<{ tabulator: string; from: Instant; to: Instant }> = base.disturbed.outages
    .filter(o => o.from <= stood || rejected.has(o.tabulator))
    .map(o => (takenAt < o.to ? { ...o, to: FOREVER } : o))
  const feeds = base.disturbed.feeds.filter(f => f <= stood || takenAt === FOREVER)
  const makes: Array<(crowd: Crowd) => Fact> = []
  /** Down, the one that went down last at the end. */
  const down = outages.filter(o => !rejected.has(o.tabulator) && stood < o.to).map(o => o.tabulator)
  let slotOpen = isSlotOpen(base.facts, stood)
  let busyUntil: Instant = 0
  const works = () => tabulators.filter(t => !down.includes(t) && !rejected.has(t))

  function restore(when: Instant) {
    const tabulator = down.pop()
    if (tabulator === undefined) return
    const outage = outages.findLast(o => o.tabulator === tabulator)
    if (outage) outage.to = when
    makes.push(() => ({ at: when, kind: 'EquipmentRestored', body: { equipment: tabulator } }))
  }

  function lockAndFeed(when: Instant) {
    const locked = when + SLOT_LOCKED
    const fed = Math.ceil((when + SLOT_FED) / MINUTE) * MINUTE
    makes.push(crowd => ({
      at: locked,
      kind: 'EmergencySlotLocked',
      body: { inSlot: crowd.at(locked).inSlot, byTwo: true },
    }))
    makes.push(crowd => ({
      at: fed,
      kind: 'SlotBallotsFed',
      body: { fed: crowd.at(locked).inSlot, byTwo: true },
    }))
    feeds.push(fed)
    slotOpen = false
    busyUntil = fed
  }

  for (const order of mine) {
    const when = order.at
    if (order.what === 'tabulator-down') {
      const tabulator = works()[0]
      if (tabulator === undefined) continue
      down.push(tabulator)
      outages.push({ tabulator, from: when, to: FOREVER })
      makes.push(() => ({
        at: when,
        kind: 'EquipmentWentDown',
        body: { equipment: tabulator, what: 'It stopped and does not start again' },
      }))
      busyUntil = when
      if (works().length > 0 || slotOpen) continue
      slotOpen = true
      busyUntil = when + SLOT_OPENED
      makes.push(() => ({ at: when + SLOT_OPENED, kind: 'EmergencySlotOpened', body: { byTwo: true } }))
      continue
    }
    restore(when)
    if (order.what === 'tabulator-back') {
      if (slotOpen && works().length > 0) lockAndFeed(when)
    } else if (!slotOpen) {
      slotOpen = true
      makes.push(() => ({ at: when, kind: 'EmergencySlotOpened', body: { byTwo: true } }))
    }
  }

  const no = (message: string): Sense => ({ ok: false, path: 'what', message })
  return {
    outages,
    feeds,
    makes,
    slotOpen,
    dropped: fact => fact.at > takenAt && isOfMachines(fact, tabulators),
    sense: (what, hhmm) => {
      if (tabulators.length === 0) return no('it has no tabulator in the plan')
      if (at <= busyUntil) return no(`its team is still at the last order, until ${hhmm(busyUntil)}`)
      if (what === 'tabulator-down' && works().length === 0)
        return no(
          down.length > 0
            ? 'its tabulator is down already'
            : 'the opening tape of its tabulator was rejected: it is out of use',
        )
      if (what === 'tabulator-back' && down.length === 0 && !(slotOpen && works().length > 0))
        return no(
          slotOpen
            ? 'the opening tape of its tabulator was rejected: it stays out of use'
            : 'its tabulators work, and its slot is locked',
        )
      if (what === 'slot-left-open' && works().length === 0 && down.length === 0)
        return no('the opening tape of its tabulator was rejected: the slot is in use')
      if (what === 'slot-left-open' && slotOpen && down.length === 0) return no('its slot is open already')
      return { ok: true }
    },
  }
}

function isSlotOpen(facts: readonly Fact[], at: Instant): boolean {
  let open = false
  for (const f of [...facts].sort((a, b) => a.at - b.at)) {
    if (f.at > at) break
    if (f.kind === 'EmergencySlotOpened') open = true
    if (f.kind === 'EmergencySlotLocked') open = false
  }
  return open
}

/** Of the story: going down, back, the slot, and the word about its flap. */
function isOfMachines(fact: Fact, tabulators: readonly string[]): boolean {
  switch (fact.kind) {
    case 'EquipmentWentDown':
    case 'EquipmentRestored':
      return tabulators.includes(String(fact.body.equipment))
    case 'EmergencySlotOpened':
    case 'EmergencySlotLocked':
    case 'SlotBallotsFed':
      return true
    case 'IncidentNoted':
      return fact.body.category === 'equipment'
    default:
      return false
  }
}
