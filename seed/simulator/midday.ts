import { type Instant, MINUTE } from '../../server/domain/time.ts'
import type { Crowd, CrowdSetting } from './crowd.ts'
import { countFact } from './said.ts'
import type { Fact, Playing } from './script.ts'
import { whole } from './steps.ts'
import { story } from './troubles.ts'

/** A tabulator that is down for a while, with the slot in use meanwhile. */
type Outage = { down: string; slot: string; back: string; locked: string; fed: string }

function outageOf(code: string): Outage | null {
  for (const s of [story.flapShut, story.tabulatorDown, story.slotLeftOpen]) if (s.precinct === code) return s
  return null
}

/** What of the story the crowd feels: outages, feeding, stations lost, ballots delivered. */
export function disturbancesOf(
  p: Pick<Playing, 'code' | 'at' | 'index' | 'planned'>,
): Pick<CrowdSetting, 'outages' | 'feeds' | 'stationsLost' | 'deliveries'> {
  const { code, at, planned, index } = p
  const tabulator = planned.tabulators[0]!
  const outage = outageOf(code)
  const outages = outage ? [{ tabulator, from: at(outage.down), to: at(outage.back) }] : []
  if (code === story.tapeRejected.precinct)
    outages.push({ tabulator, from: index.brief.opensAt, to: Number.POSITIVE_INFINITY })
  const line = story.longLine
  const low = story.ballotsLow
  return {
    outages,
    feeds: outage ? [at(outage.fed)] : [],
    stationsLost: code === line.precinct ? [{ from: at(line.pollbookDown), to: at(line.pollbookBack) }] : [],
    deliveries: code === low.precinct ? [{ at: at(low.delivered), howMany: low.howMany }] : [],
  }
}

/**
 * The story's facts between opening and closing, where the precinct has a part in it. Without a crowd: when they
 * happen, the slot's figures left at 0.
 */
export function storyOf(p: Playing, crowd: Crowd | null): Fact[] {
  const { code, at, planned } = p
  const facts: Fact[] = []
  const say = (when: string, kind: Fact['kind'], body: Fact['body']) => {
    facts.push({ at: at(when), kind, body })
  }
  const tabulator = planned.tabulators[0]!
  const firstOf = (kind: string) => [...planned.equipment.values()].find(e => e.kind === kind)?.tag

  const outage = outageOf(code)
  if (outage) {
    const flap = code === story.flapShut.precinct
    const inSlot = crowd?.at(at(outage.locked)).inSlot ?? 0
    say(outage.down, 'EquipmentWentDown', {
      equipment: tabulator,
      what: flap ? 'The first ballot was refused' : 'It stopped and does not start again',
    })
    say(outage.slot, 'EmergencySlotOpened', { byTwo: true })
    say(outage.back, 'EquipmentRestored', { equipment: tabulator })
    if (flap)
      say(outage.back, 'IncidentNoted', {
        category: 'equipment',
        what: 'The intake flap of the box had been left shut',
        resolution: 'Flap opened by two; the ballots in the slot are fed next',
      })
    say(outage.locked, 'EmergencySlotLocked', { inSlot, byTwo: true })
    say(outage.fed, 'SlotBallotsFed', { fed: inSlot, byTwo: true })
  }
  if (code === story.longLine.precinct) {
    const equipment = [...planned.equipment.values()].filter(e => e.kind === 'pollbook').at(-1)?.tag
    if (equipment) {
      say(story.longLine.pollbookDown, 'EquipmentWentDown', { equipment, what: 'Screen stays dark' })
      say(story.longLine.pollbookBack, 'EquipmentRestored', { equipment, what: 'Another charger' })
    }
  }
  if (code === story.ballotsLow.precinct)
    say(story.ballotsLow.asks, 'SuppliesRequested', { item: 'ballots', howMany: story.ballotsLow.howMany })
  if (code === story.asksForHelp.precinct)
    say(story.asksForHelp.at, 'HelpRequested', { about: 'power', what: 'Half of the booths have no light' })
  if (code === story.accessibleDown.precinct) {
    const equipment = firstOf('accessible-station')
    if (equipment) {
      say(story.accessibleDown.down, 'EquipmentWentDown', { equipment, what: 'No sound in the headphones' })
      say(story.accessibleDown.back, 'EquipmentRestored', {
        equipment,
        what: 'Spare headphones from the rover',
      })
    }
  }
  return facts
}

/** Common practice on any day: small things, written down when they happen. */
const SMALL = [
  { category: 'workers', what: 'One worker unwell and gone home', resolution: 'The others cover the table' },
  { category: 'access', what: 'The ramp was blocked by a delivery', resolution: 'Moved' },
  { category: 'supplies', what: 'Pens running out', resolution: 'Spare pack opened' },
  { category: 'weather', what: 'Rain on the line outside', resolution: 'The line goes round the hall now' },
  { category: 'conduct', what: 'Loud argument at the entrance', resolution: 'Settled by the lead' },
] as const

/** Counts every half hour to hour, line reports where it is long, and a small incident here and there. */
export function countsOf(p: Playing, crowd: Crowd, openedAt: Instant): Fact[] {
  const { code, at, random, index } = p
  const { closesAt } = index.brief
  const facts: Fact[] = []
  const silent = code === story.noCounts.precinct ? story.noCounts : null

  const count = (when: Instant) => void facts.push(countFact(p, crowd, when))
  let when = whole(openedAt + random.between(25, 45) * MINUTE)
  if (silent) {
    count(at(silent.last))
    when = at(silent.next)
  }
  for (; when < closesAt - 8 * MINUTE; when = whole(when + random.between(30, 55) * MINUTE)) count(when)

  for (let line = openedAt + 20 * MINUTE; line < closesAt; line += 12 * MINUTE) {
    const f = crowd.at(line)
    const wait = (f.inLine * index.plan.policy.checkInMinutes) / f.stationsWorking
    if (wait > index.plan.policy.longLineMinutes / 2)
      facts.push({
        at: whole(line),
        kind: 'LineReported',
        body: { inLine: f.inLine, stationsWorking: f.stationsWorking },
      })
  }
  if (random.next() < 0.2)
    facts.push({
      at: whole(openedAt + random.between(60, 600) * MINUTE),
      kind: 'IncidentNoted',
      body: { ...SMALL[random.whole(0, SMALL.length - 1)]! },
    })
  if (p.planned.precinct.expected > 1_100)
    facts.push(...straightened(p, whole(openedAt + random.between(420, 480) * MINUTE)))
  return facts
}

/** Ballots straightened in the box: its seal is read off and taken off, and a new one put on. */
function straightened({ planned }: Playing, at: Instant): Fact[] {
  const container = 'ballot-box'
  const number = planned.seals.get(container)
  const opened: Fact = { at, kind: 'BallotBoxOpened', body: { reason: 'straighten', byTwo: true } }
  if (number === undefined) return [opened]
  const sealed = (when: Instant, act: 'removed' | 'applied', found: string): Fact => ({
    at: when,
    kind: 'SealRecorded',
    body: { container, found, state: 'intact', act },
  })
  return [
    sealed(at - MINUTE, 'removed', number),
    opened,
    sealed(at + 4 * MINUTE, 'applied', `R${number.replace(/\D/g, '')}`),
  ]
}
