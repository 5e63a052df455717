import { type Instant, MINUTE } from '../../server/domain/time.ts'
import type { Random } from './random.ts'

/**
 * The voters of one precinct as a crowd, minute by minute: they arrive, stand in line, check in, mark and cast.
 * Nobody is anybody. Kept true at every minute:
 * - checked in = tabulated + in slot + provisional + still marking;
 * - ballots delivered − left = tabulated + in slot + provisional + spoiled + still marking.
 */
type Figures = {
  checkedIn: number
  publicCount: Readonly<Record<string, number>>
  inLine: number
  inSlot: number
  spoiled: number
  provisional: number
  curbside: number
  ballotsLeft: number
  /** Checked in and not yet cast: not a count that anybody reports. */
  marking: number
  delivered: number
  stationsWorking: number
}

export type CrowdSetting = {
  random: Random
  tabulators: readonly string[]
  /** Legal hours: people come between them, and wait where it isn't open yet. */
  opensAt: Instant
  closesAt: Instant
  /** When check-in really begins. */
  openedAt: Instant
  /** Voters expected to arrive by an instant. */
  arrivedBy: (at: Instant) => number
  ballots: number
  stations: number
  minutesPerVoter: number
  /** Tabulators out of use; ballots go into the slot while none works. */
  outages: ReadonlyArray<{ tabulator: string; from: Instant; to: Instant }>
  stationsLost: ReadonlyArray<{ from: Instant; to: Instant }>
  /** Whole minutes at which everything in the slot is fed. */
  feeds: readonly Instant[]
  deliveries: ReadonlyArray<{ at: Instant; howMany: number }>
  /** What a trainer lets the crowd feel, from an instant on: figures up to it stay as they were. */
  trainer?: CrowdTrouble
}

export type CrowdTrouble = {
  /**
   * Many come at once, sooner than they would have. For LINE_GROWS minutes the line grows and check-in goes slowly;
   * then as many are checked in as come. `line` is how long it is at once and at least, at so many stations.
   */
  crowded: ReadonlyArray<{ from: Instant; to: Instant; line: (stations: number) => number }>
  /** Check-in goes fast until the line is gone. */
  rushed: readonly Instant[]
  /** Packs of ballots that can't be used: all but this share of what the voters still to come need. They are replaced. */
  withdrawn: ReadonlyArray<{ from: Instant; back: Instant; keepShare: number }>
}

export type Crowd = {
  /** Figures as of the last whole minute at or before an instant. */
  at(instant: Instant): Figures
  /** The line was empty after closing, and everybody had cast. */
  lastServedAt: Instant
  lastCastAt: Instant
}

/** Common practice puts spoiled and provisional ballots in the low percents; these shares are our assumptions. */
const SPOILED = 0.01
const PROVISIONAL = 0.005
const CURBSIDE = 0.008
/** Minutes at the booth. */
const MARKING = [4, 9] as const
const LONGEST_EVENING = 240
/** Of a trainer's long line, in minutes. */
const LINE_GROWS = 20
const SLOWLY = 1 / 3
const FAST = 8

export function crowdOf(s: CrowdSetting): Crowd {
  const { random } = s
  const publicCount: Record<string, number> = Object.fromEntries(s.tabulators.map(t => [t, 0]))
  let [checkedIn, inLine, inSlot, spoiled, provisional, curbside, marking] = [0, 0, 0, 0, 0, 0, 0]
  let ballotsLeft = s.ballots
  let delivered = s.ballots
  let credit = 0
  let lastServedAt = s.closesAt
  let lastCastAt = s.closesAt
  /** Voters who came sooner than they would have: they don't come again later. */
  let ahead = 0
  let rushing = false
  const missing = new Map<{ back: Instant }, number>()
  const { crowded = [], rushed = [], withdrawn = [] } = s.trainer ?? {}
  const stationsAt = (at: Instant) =>
    Math.max(1, s.stations - s.stationsLost.filter(l => l.from <= at && at < l.to).length)
  const figures = (at: Instant): Figures => ({
    checkedIn,
    publicCount: { ...publicCount },
    inLine,
    inSlot,
    spoiled,
    provisional,
    curbside,
    ballotsLeft,
    marking,
    delivered,
    stationsWorking: stationsAt(at),
  })
  const workingAt = (at: Instant) =>
    s.tabulators.filter(t => !s.outages.some(o => o.tabulator === t && o.from <= at && at < o.to))

  const first = figures(s.opensAt)
  const minutes: Figures[] = []
  const leaving: number[] = []
  const sitDown = (minute: number) => {
    const done = minute + random.whole(MARKING[0], MARKING[1])
    leaving[done] = (leaving[done] ?? 0) + 1
  }

  const cast = (minute: number, working: readonly string[]) => {
    const chance = random.next()
    if (chance < SPOILED && ballotsLeft > 0) {
      spoiled++
      ballotsLeft--
      sitDown(minute)
      return
    }
    marking--
    if (chance < SPOILED + PROVISIONAL) provisional++
    else if (working.length > 0) publicCount[working[random.whole(0, working.length - 1)]!]! += 1
    else inSlot++
  }

  const evening = (s.closesAt - s.opensAt) / MINUTE + LONGEST_EVENING
  for (let minute = 0; minute < evening; minute++) {
    const start = s.opensAt + minute * MINUTE
    const end = start + MINUTE
    const working = workingAt(start)
    if (start < s.closesAt) {
      const come = random.poisson(s.arrivedBy(end) - s.arrivedBy(start))
      const came = Math.min(ahead, Math.floor(come / 2))
      ahead -= came
      inLine += come - came
    }
    // What a trainer lets happen from an instant on is seen at the end of its minute.
    const happensNow = (from: Instant) => start <= from && from < end
    for (const c of crowded) {
      if (end <= c.from || start >= c.to || start >= c.from + LINE_GROWS * MINUTE) continue
      const line = c.line(stationsAt(start))
      const more = happensNow(c.from) ? Math.max(0, line - inLine) : Math.ceil(line / LINE_GROWS)
      ahead += more
      inLine += more
    }
    if (rushed.some(happensNow)) rushing = true
    for (const w of withdrawn) {
      if (happensNow(w.from)) {
        const keep = Math.ceil(w.keepShare * (s.arrivedBy(s.closesAt) - s.arrivedBy(end)))
        missing.set(w, Math.max(0, ballotsLeft - keep))
        ballotsLeft -= missing.get(w)!
        delivered -= missing.get(w)!
      }
      if (w.back === end) {
        ballotsLeft += missing.get(w) ?? 0
        delivered += missing.get(w) ?? 0
      }
    }
    if (start >= s.openedAt) {
      const long = crowded.find(c => c.from <= start && start < c.to)
      const slow = long !== undefined && start < long.from + LINE_GROWS * MINUTE
      const pace = rushing ? FAST : slow ? SLOWLY : 1
      credit += pace * (stationsAt(start) / s.minutesPerVoter) * random.between(0.85, 1.15)
      const stays = long ? Math.min(inLine, long.line(stationsAt(start))) : 0
      const served = Math.min(inLine - stays, ballotsLeft, Math.floor(credit))
      credit = Math.min(credit - served, stationsAt(start))
      if (inLine - served <= stationsAt(start)) rushing = false
      for (let i = 0; i < served; i++) {
        if (random.next() < CURBSIDE) curbside++
        sitDown(minute)
      }
      inLine -= served
      checkedIn += served
      marking += served
      ballotsLeft -= served
      if (served > 0) lastServedAt = Math.max(s.closesAt, end)
    }
    for (let i = leaving[minute] ?? 0; i > 0; i--) cast(minute, working)
    if (s.feeds.includes(end) && working.length > 0) {
      publicCount[working[0]!]! += inSlot
      inSlot = 0
    }
    for (const delivery of s.deliveries)
      if (delivery.at === end) {
        ballotsLeft += delivery.howMany
        delivered += delivery.howMany
      }
    minutes.push(figures(end))
    if (marking > 0) lastCastAt = Math.max(s.closesAt, end + MINUTE)
    if (end > s.closesAt && inLine === 0 && marking === 0 && s.feeds.every(f => f <= end)) break
  }
  return {
    at(instant) {
      const whole = Math.floor((instant - s.opensAt) / MINUTE)
      return whole <= 0 ? first : minutes[Math.min(whole, minutes.length) - 1]!
    },
    lastServedAt,
    lastCastAt,
  }
}
