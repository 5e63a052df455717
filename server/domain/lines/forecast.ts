import type { LineForecast, LineForecastPoint, WhatIf } from '../forecast/forecast.ts'
import type { DayInput } from '../forecast/input.ts'
import { MINUTE } from '../time.ts'
import { type CheckIn, type CheckInOutlook, exactLine, isReckonable } from './exact.ts'
import { type ArrivalFactor, arrivalFactors } from './factors.ts'
import { waitFrom } from './fluid.ts'
import { type LineMember, lastSaid, logSdOf, votesFrom } from './members.ts'
import { outlookOf, voterMinutesOf } from './outlook.ts'
import { couldMatter, roughLine } from './rough.ts'
import { AHEAD, type Schedule, scheduleOf } from './schedule.ts'
import { serviceSeen } from './service.ts'
import { bottleneckOf, type Stages, stagesOf } from './stages.ts'
import { type LineStart, startOf } from './start.ts'

/** Waits are said up to a day: where nobody works they have no end. */
const LONGEST_WAIT = 1_440
/** A chance under this is not worth an hour. */
const SLIGHT = 0.01
/** After closing a line of fewer than this is over. */
const GONE = 0.5

/**
 * The line in front of a precinct (or of several that share it) now and in the next two hours: from what is known
 * of today's voters, the stations that work now, and how long a station was seen to take. Check-in is exact where
 * it could matter (exact.ts), else rough (rough.ts); booths and tabulators are fluids with chance added (fluid.ts).
 *
 * Waits of those who come before the legal opening are counted from it. Where it has passed and the polls aren't
 * open, they are taken to open now. The time at a station, in a booth or at a tabulator itself isn't waiting.
 *
 * @param profile the county's arrival profile, by which the turnout is forecast, too
 * @returns null where nobody votes now or within two hours, or all who do are silent. The points begin now, stand ten
 * minutes apart, and also where polls open, resume or close; they show the line for check-in (`over`: all stages), and
 * end two hours from now, or after closing when that line has gone.
 */
export function lineForecast(
  day: DayInput,
  members: readonly LineMember[],
  profile: readonly number[],
  whatIf?: WhatIf,
): { forecast: LineForecast; points: LineForecastPoint[] } | null {
  const voting = members.filter(member => votesSoon(day, member))
  // How things stand where all are silent isn't known: a line reckoned on from old reports would look like news. One
  // that is silent beside others stands in the line that they report, with its voters and its stations as last said.
  if (voting.every(({ input }) => input.silent)) return null
  const service = serviceSeen(day, members, profile)
  const perStation = 1 / service.minutes
  const schedule = scheduleOf(day, members, whatIf)
  const logSd = logSdOf(day, members)
  // What isn't known of the arrivals to come is not known of those since the last report either.
  const cases = arrivalFactors(logSd).map(f => ({
    ...f,
    start: startOf(day, members, profile, perStation, f.factor),
  }))
  const checkIn = checkInOf(day, schedule, cases, perStation)
  const rough = roughLine(checkIn, logSd)
  let worth = isWorth(schedule, checkIn, rough)
  if (!worth && whatIf) {
    // What if and what is are compared, so they are reckoned alike.
    const unchanged = scheduleOf(day, members)
    const asIs = checkInOf(day, unchanged, cases, perStation)
    worth = isWorth(unchanged, asIs, roughLine(asIs, logSd))
  }
  const how = howOf(schedule, checkIn, worth)
  const line = how === 'exact' ? exactLine(checkIn) : rough
  const stages = cases.map(({ start, factor }) => stagesOf(schedule, start, perStation, factor))
  const outlook = outlookOf(line, checkIn.factors, stages, schedule, checkIn.over)
  const now = startOf(day, members, profile, perStation)
  const usual = stagesOf(schedule, now, perStation, 1)
  const points = pointsOf(day, schedule, outlook, line)
  const { horizonMinutes } = day.policy
  const forecast: LineForecast = {
    inLine: now.inLine,
    said: lastSaid(members, day.at),
    waitNow: waitNow(schedule, usual),
    chance: outlook.chance,
    worst: worstOf(points),
    ...bottleneckOf(usual, stepsOfVoting(day, schedule)),
    voterMinutes: voterMinutesOf(outlook.waiting, schedule.steps, schedule.opensIn, horizonMinutes),
    how,
    serviceMinutes: service.minutes,
    seenMinutes: service.seenMinutes,
  }
  return { forecast, points }
}

/** Whether voting goes on, or begins within two hours. */
function votesSoon(day: DayInput, { input }: LineMember): boolean {
  if (input.closed) return false
  const from = votesFrom(day, input)
  return from <= day.at ? from < day.closesAt || input.openedAt !== null : from < day.at + AHEAD
}

function checkInOf(
  day: DayInput,
  { steps, shown, opensIn }: Schedule,
  cases: ReadonlyArray<ArrivalFactor & { start: LineStart }>,
  perStation: number,
): CheckIn {
  const over = [day.policy.longLineMinutes + opensIn]
  let minute = 0
  for (let i = 0; i < shown; i++) {
    minute += steps[i]!.minutes
    over.push(day.policy.longLineMinutes + Math.max(0, opensIn - minute))
  }
  const factors = cases.map(({ factor, weight, start }) => ({ factor, weight, inLine: start.inLine }))
  return { steps: steps.slice(0, shown), perStation, factors, over }
}

/** Whether the exact line is worth its time: some wait could be long, and somebody gets through. */
function isWorth(schedule: Schedule, { factors }: CheckIn, rough: CheckInOutlook): boolean {
  return hasWay(schedule) && couldMatter(rough, factors)
}

function howOf(schedule: Schedule, checkIn: CheckIn, worth: boolean): LineForecast['how'] {
  if (!hasWay(schedule)) return 'blocked'
  if (!worth) return 'far-from-long'
  return isReckonable(checkIn) ? 'exact' : 'averages'
}

/** Whether somebody can get through all stages at some time within the steps shown. */
function hasWay({ steps, shown, scanned }: Schedule): boolean {
  const ahead = steps.slice(0, shown)
  return ahead.some(s => s.stations > 0) && (scanned === 0 || ahead.some(s => s.tabulators > 0))
}

/** Steps shown before closing, over which loads are reckoned; all of them after it. */
function stepsOfVoting(day: DayInput, { steps, shown }: Schedule): number {
  let end = day.at
  let count = 0
  while (count < shown && end < day.closesAt) end += steps[count++]!.minutes * MINUTE
  return count > 0 ? count : shown
}

/** What who joins now waits, by Little's law at each stage: the slowest, for those who need a tabulator and for others. */
function waitNow({ opensIn, scanned }: Schedule, stages: Stages): number {
  const [here, booths, there] = (['check-in', 'booths', 'tabulator'] as const).map(name =>
    Math.min(LONGEST_WAIT, Math.max(0, waitFrom(stages[name], 0, stages[name].waiting) - opensIn)),
  )
  const inside = Math.max(here!, booths!)
  return inside + scanned * Math.max(0, there! - inside)
}

function pointsOf(
  day: DayInput,
  { steps, shown }: Schedule,
  { over, inLine }: { over: Float64Array; inLine: Float64Array },
  { low, high }: { low: Float64Array; high: Float64Array },
): LineForecastPoint[] {
  const points: LineForecastPoint[] = []
  let at = day.at
  for (let i = 0; i <= shown; i++) {
    if (i > 0) {
      if (at >= day.closesAt && inLine[i - 1]! < GONE) break
      at += Math.round(steps[i - 1]!.minutes * MINUTE)
    }
    points.push({ at, mean: inLine[i]!, low: low[i]!, high: high[i]!, over: over[i]! })
  }
  return points
}

function worstOf(points: readonly LineForecastPoint[]): { at: number; chance: number } | null {
  let worst: LineForecastPoint | null = null
  for (const point of points) if (!worst || point.over > worst.over) worst = point
  return worst && worst.over >= SLIGHT ? { at: worst.at, chance: worst.over } : null
}
