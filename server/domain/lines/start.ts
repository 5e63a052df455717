import type { DayInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { closedStretches, overlap, type Stretch } from '../turnout/hours.ts'
import { QUARTER, shareBy } from '../turnout/profile.ts'
import { type LineMember, lastSaid, votesFrom } from './members.ts'
import { needsTabulator } from './schedule.ts'
import { stationMinutes } from './stationsThen.ts'
import { lineAfter } from './wait.ts'

/** People who wait now: in line for check-in, and behind it for a booth and a tabulator; not rounded, ≥ 0. */
export type LineStart = { inLine: number; forBooth: number; forTabulator: number }

/** Today's voters are taken to be no more than this many times the plan's. */
const MOST_FACTOR = 10

/**
 * The line now: what was reported last, however old, carried on by the fluid; without a report the fluid from the
 * first voters of the profile on (which has had longer to go wrong than from any report). It comes by the profile,
 * scaled to the total that is forecast, and is taken by the stations that worked then, while the polls are open; those
 * who come before wait at the door.
 *
 * Booths and tabulators have no reports of their own: what waits there is what the fluid has there. Until a precinct
 * was last heard all its tabulators are taken to have worked.
 *
 * @param profile the county's arrival profile
 * @param factor by which arrivals are more or fewer than expected
 */
export function startOf(
  day: DayInput,
  members: readonly LineMember[],
  profile: readonly number[],
  perStation: number,
  factor = 1,
): LineStart {
  const said = lastSaid(members, day.at)
  const past = members.map(member => pastOf(day, member, factor))
  let [line, checkIn, booths, tabulators] = [0, 0, 0, 0]
  let from = firstVoters(day, profile)
  if (said && said.at < from) from = said.at
  while (from < day.at) {
    if (from === said?.at) line = said.is
    const quarter = day.midnight + (Math.floor((from - day.midnight) / QUARTER) + 1) * QUARTER
    const to = Math.min(day.at, quarter, said && said.at > from ? said.at : quarter)
    const part = shareBy(profile, day.midnight, to) - shareBy(profile, day.midnight, from)
    const { come, scanned, taken } = passed(day, past, part, from, to, perStation)
    line = lineAfter(line, come, 1, taken.checkIn)
    checkIn = lineAfter(checkIn, come, 1, taken.checkIn)
    booths = lineAfter(booths, come, 1, taken.booths)
    tabulators = lineAfter(tabulators, scanned, 1, taken.tabulators)
    from = to
  }
  if (said?.at === day.at) line = said.is
  return {
    inLine: Math.max(0, line),
    forBooth: Math.max(0, booths - checkIn),
    forTabulator: Math.max(0, tabulators - Math.max(booths, checkIn)),
  }
}

type Past = { member: LineMember; voters: number; opened: Instant; closed: Stretch[] }

function pastOf(day: DayInput, member: LineMember, factor: number): Past {
  const { expected } = member.input
  const today = expected > 0 ? Math.min(MOST_FACTOR, Math.max(0, member.outlook.total / expected)) : 0
  const opened = votesFrom(day, member.input)
  return {
    member,
    voters: expected * today * factor,
    opened,
    closed: closedStretches(day, member.input, day.at),
  }
}

/** Who came in a stretch of the past, and how many each stage could take in it. */
function passed(
  day: DayInput,
  past: readonly Past[],
  part: number,
  from: Instant,
  to: Instant,
  perStation: number,
): { come: number; scanned: number; taken: { checkIn: number; booths: number; tabulators: number } } {
  let come = 0
  let scanned = 0
  const taken = { checkIn: 0, booths: 0, tabulators: 0 }
  for (const { member, voters, opened, closed } of past) {
    const { input } = member
    if (input.closed) continue
    come += voters * part
    const start = Math.max(from, opened)
    const open = to > start ? (to - start - overlap(closed, start, to)) / MINUTE : 0
    taken.checkIn += stationMinutes(input, closed, start, to) * perStation
    taken.booths += (open * input.booths) / day.policy.markMinutes
    if (!needsTabulator(input)) continue
    scanned += voters * part
    const { all, working, asOf } = input.tabulators
    const machines = asOf !== null && from >= asOf ? working : all
    taken.tabulators += (open * machines * 60) / (day.policy.tabulateSeconds * input.sheets)
  }
  return { come, scanned, taken }
}

/** The start of the first quarter hour in which somebody comes; at the latest the legal opening. */
function firstVoters(day: DayInput, profile: readonly number[]): Instant {
  const first = profile.findIndex(share => share > 0)
  return first < 0 ? day.opensAt : Math.min(day.opensAt, day.midnight + first * QUARTER)
}
