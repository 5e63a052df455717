import { hhmmOf } from '../../server/domain/plan/zone.ts'
import { type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'
import type { trainerFaults } from '../../server/protocol/setup.ts'
import type { Crowd, CrowdSetting, CrowdTrouble } from './crowd.ts'
import { type Machines, machinesOf } from './machines.ts'
import { countFact, sealMisread } from './said.ts'
import type { Fact, Gap, Playing } from './script.ts'

/**
 * What a trainer orders while a practice day runs. An order changes the script from its instant on, never before it:
 * what a tablet has said stands, with its numbers. Kept true:
 * - the same plan, seed and orders give the same day;
 * - what is ordered takes a matter out of the story's hands: from the first order about its tabulators or slot (its
 *   accessible station, its seal) a precinct has of these only the troubles that are ordered, so the two never
 *   contradict each other;
 * - figures go on from where they stood and still add up in the evening (crowd.ts).
 */
export type Fault = (typeof trainerFaults)[number]
export type Order = { precinct: string; what: Fault; at: Instant }
export type Sense = { ok: true } | { ok: false; path: 'precinct' | 'what'; message: string }

/** A precinct's script without orders, as far as orders look at it. */
export type Unordered = {
  playing: Playing
  openedAt: Instant
  switchedOnAt: Instant
  gaps: readonly Gap[]
  /** Opening and story. */
  facts: readonly Fact[]
  disturbed: Pick<CrowdSetting, 'outages' | 'feeds'>
}

export type Effects = {
  machines: Machines
  /** A fact of the story doesn't happen any more. */
  dropped(fact: Fact): boolean
  trouble: CrowdTrouble
  /** Facts of the orders, once the crowd's figures are known. */
  facts(crowd: Crowd): Fact[]
  gaps: Gap[]
  /** A tablet that died by the story was brought back: what it would have said is said. */
  revived: boolean
}

/** A trainer's line means so many times the longest wait that policy allows. */
const LONG = 1.3
const KEEP_SHARE = 0.4
/** Spare packs of ballots come after this, whatever the office does. */
const SPARES_AFTER = 90 * MINUTE
const LAST_SPARES = 30 * MINUTE
/** The last orders about machines, lines and ballots: what follows from them needs its time before closing. */
const BEFORE_CLOSING = 10 * MINUTE
const nextMinute = (at: Instant) => (Math.floor(at / MINUTE) + 1) * MINUTE

export function effectsOf(base: Unordered, orders: readonly Order[]): Effects {
  const { playing } = base
  const { planned, index } = playing
  const { policy } = index.plan
  const machines = machinesOf(base, orders)
  const makes: Array<(crowd: Crowd) => Fact> = [...machines.makes]
  const say = (at: Instant, kind: Fact['kind'], body: Fact['body']) => makes.push(() => ({ at, kind, body }))
  const crowded: Array<CrowdTrouble['crowded'][number]> = []
  const rushed: Instant[] = []
  const withdrawn: Array<CrowdTrouble['withdrawn'][number]> = []
  const gaps = [...base.gaps]
  const { closesAt } = index.brief
  const line = (stations: number) =>
    Math.ceil((LONG * policy.longLineMinutes * stations) / policy.checkInMinutes)
  const reportLine = (at: Instant) =>
    makes.push(crowd => {
      const { inLine, stationsWorking } = crowd.at(at)
      return { at, kind: 'LineReported', body: { inLine, stationsWorking } }
    })
  let accessibleFrom = Number.POSITIVE_INFINITY
  let sealFrom = Number.POSITIVE_INFINITY
  let revived = false

  for (const { what, at } of orders) {
    switch (what) {
      case 'long-line': {
        const end = orders.find(o => o.what === 'line-short' && o.at > at)?.at ?? closesAt
        crowded.push({ from: at, to: end, line })
        for (let minutes = 0; minutes <= 20; minutes += 4) {
          const when = nextMinute(at) + minutes * MINUTE
          if (when < end) reportLine(when)
        }
        break
      }
      case 'line-short':
        rushed.push(at)
        for (const minutes of [1, 4, 8, 12]) reportLine(nextMinute(at) + minutes * MINUTE)
        break
      case 'ballots-low': {
        const back = nextMinute(Math.min(at + SPARES_AFTER, closesAt - LAST_SPARES))
        withdrawn.push({ from: at, back, keepShare: KEEP_SHARE })
        for (const when of [nextMinute(at), back])
          makes.push(crowd => countFact({ ...playing, outages: machines.outages }, crowd, when))
        break
      }
      case 'accessible-down':
        accessibleFrom = Math.min(accessibleFrom, at)
        say(at, 'EquipmentWentDown', { equipment: accessibleOf(playing), what: 'The screen stays dark' })
        break
      case 'accessible-back':
        accessibleFrom = Math.min(accessibleFrom, at)
        say(at, 'EquipmentRestored', { equipment: accessibleOf(playing) })
        break
      case 'help-asked':
        say(at, 'HelpRequested', { about: 'supplies', what: 'Please ring us when you can' })
        break
      case 'seal-different': {
        const container = sealOf(playing)!
        sealFrom = Math.min(sealFrom, at)
        const found = sealMisread(planned.seals.get(container)!)
        say(at, 'SealRecorded', { container, found, state: 'intact' })
        break
      }
      case 'tablet-dies':
        gaps.push({ from: at, to: null })
        break
      case 'tablet-back':
        revived ||= base.gaps.some(g => g.to === null && g.from <= at)
        for (const [i, g] of gaps.entries())
          if (g.from <= at && (g.to === null || g.to > at)) gaps[i] = { from: g.from, to: at }
        break
    }
  }
  const accessible = accessibleOf(playing)
  const sealed = sealOf(playing)
  return {
    machines,
    dropped: fact =>
      machines.dropped(fact) ||
      (fact.at > accessibleFrom && isOf(fact, accessible)) ||
      (fact.at > sealFrom && fact.kind === 'SealRecorded' && fact.body.container === sealed),
    trouble: { crowded, rushed, withdrawn },
    facts: crowd => makes.map(make => make(crowd)),
    gaps,
    revived,
  }
}

/**
 * Whether an order can be carried out at its instant, which is later than those of the earlier ones. `now`: the crowd
 * as it is ordered so far, and when the tablet is packed.
 */
export function senseOf(
  base: Unordered,
  earlier: readonly Order[],
  now: { crowd: Crowd; until: Instant },
  order: Order,
): Sense {
  const { crowd } = now
  const { what, at } = order
  const { playing } = base
  const { brief, plan } = playing.index
  const no = (message: string): Sense => ({ ok: false, path: 'what', message })
  const effects = effectsOf(base, earlier)
  const until = (t: Instant) => hhmmOf(t, plan.timeZone)
  if (at < base.switchedOnAt) return no(`its tablet is switched on at ${until(base.switchedOnAt)}`)
  const isDead = effects.gaps.some(g => g.from <= at && (g.to === null || at < g.to))
  if (what === 'tablet-back') return isDead ? { ok: true } : no('its tablet is speaking')
  if (isDead) return no('its tablet says nothing now: bring it back first')
  if (at >= now.until) return no('its tablet is packed for the return already')
  const outOfHours =
    at < base.openedAt
      ? no(`its polls open at ${until(base.openedAt)}`)
      : at >= brief.closesAt - BEFORE_CLOSING
        ? no('the polls close too soon for that')
        : null
  const { inLine, stationsWorking } = crowd.at(at)
  const wait = (inLine * plan.policy.checkInMinutes) / stationsWorking
  switch (what) {
    case 'tabulator-down':
    case 'tabulator-back':
    case 'slot-left-open':
      return outOfHours ?? machinesOf(base, earlier, at).sense(what, until)
    case 'accessible-down':
    case 'accessible-back': {
      const tag = accessibleOf(playing)
      if (tag === undefined) return no('it has no accessible station in the plan')
      const said = [...base.facts.filter(f => !effects.dropped(f)), ...effects.facts(crowd)]
      const last = said.filter(f => f.at <= at && isOf(f, tag)).sort((a, b) => a.at - b.at)
      const isDown = last.at(-1)?.kind === 'EquipmentWentDown'
      if (isDown === (what === 'accessible-down'))
        return no(isDown ? 'its accessible station is down already' : 'its accessible station works')
      return { ok: true }
    }
    case 'long-line':
      if (outOfHours) return outOfHours
      return wait > plan.policy.longLineMinutes ? no('its line is long already') : { ok: true }
    case 'line-short':
      if (outOfHours) return outOfHours
      return wait < plan.policy.longLineEndMinutes ? no('its line is short') : { ok: true }
    case 'ballots-low':
      if (outOfHours) return outOfHours
      if (at >= brief.closesAt - LAST_SPARES - BEFORE_CLOSING) return no('the polls close too soon for that')
      return effects.trouble.withdrawn.some(w => at < w.back)
        ? no('it is low on ballots already: its spare packs are on their way')
        : { ok: true }
    case 'seal-different':
      if (sealOf(playing) === undefined) return no('it has no seal in the plan')
      return earlier.some(o => o.what === what) ? no('it has said so already') : { ok: true }
    default:
      return { ok: true }
  }
}

/** An order is carried out from the next whole second on, and after all that the tablet has begun to send. */
export function whenOrdered(now: Instant, lastSent: Instant | null): Instant {
  return (Math.floor(Math.max(now, lastSent ?? 0) / SECOND) + 1) * SECOND
}

function accessibleOf({ planned }: Playing): string | undefined {
  return [...planned.equipment.values()].find(e => e.kind === 'accessible-station')?.tag
}

function sealOf({ planned }: Playing): string | undefined {
  return planned.openingSeals[0] ?? [...planned.seals.keys()][0]
}

function isOf(fact: Fact, equipment: string | undefined): boolean {
  return (
    (fact.kind === 'EquipmentWentDown' || fact.kind === 'EquipmentRestored') &&
    fact.body.equipment === equipment
  )
}
