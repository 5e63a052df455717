import type {
  Bottleneck,
  CountyForecast,
  LineForecast,
  PrecinctForecast,
} from '../../../server/domain/forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { chanceWords, WORTH_SAYING } from '../../../server/domain/forecast/say.ts'
import { hhmmOf } from '../../../server/domain/plan/zone.ts'
import { type Instant, MINUTE } from '../../../server/domain/time.ts'
import { ageWords, lengthWords } from '../../live/clock.ts'
import { countWords, signed } from '../../parts/figures.ts'

/** What a forecast says and why, in sentences; pure, so that what is said can be tested. */
export type Said = { title: string; says: string; because: string }

export type ForecastContext = {
  day: DayInput
  county: CountyForecast
  input: PrecinctInput
  forecast: PrecinctForecast
  timeZone: string
  stepTitle(code: string): string
}

export function forecastWords(ctx: ForecastContext): Said[] {
  const said = [readyWords(ctx), turnoutWords(ctx), ballotsWords(ctx)]
  return said.filter(one => one !== null)
}

function readyWords({ day, county, forecast, timeZone, stepTitle }: ForecastContext): Said | null {
  const { ready } = forecast
  if (!ready) return null
  const time = (at: Instant) => hhmmOf(at, timeZone)
  if (ready.holding === null)
    return {
      title: 'Opening',
      says: `All ${ready.of} steps are done.`,
      because: 'Because the precinct said so.',
    }
  const pace = Math.round((Math.exp(county.openingPace.mean) - 1) * 100)
  const help =
    ready.helpBy === null
      ? ''
      : ready.helpBy > day.at
        ? ` Help there changes the outcome until ${time(ready.helpBy)}.`
        : ' Help now can no longer make it open on time, only sooner.'
  return {
    title: 'Opening',
    says: `Ready at about ${time(ready.by50)}, between ${time(ready.by10)} and ${time(ready.by90)} on 80 of 100 such mornings. By ${time(day.opensAt)}: ${chanceWords(ready.chance)}.`,
    because: `Because ${ready.done} of ${ready.of} steps are done and “${stepTitle(ready.holding)}” holds up the rest; steps take ${pace === 0 ? 'as long as planned' : `${signed(pace)}%`} in the county today.${help}`,
  }
}

function turnoutWords({ day, county, input, forecast, timeZone }: ForecastContext): Said | null {
  const { turnout } = forecast
  if (!turnout) return null
  const { came } = turnout
  const whole = input.everyone ? 'arrivals' : 'voters'
  const factor = Math.round((Math.exp(county.factor.mean) - 1) * 100)
  const own = came
    ? `${countWords(came.is)} were checked in by ${hhmmOf(came.at, timeZone)}${turnout.pace === null ? '' : ` (${signed(turnout.pace)}% against the plan)`}`
    : 'nobody has counted yet'
  return {
    title: 'Turnout',
    says: `${countWords(turnout.total)} ${whole} by closing, between ${countWords(turnout.low80)} and ${countWords(turnout.high80)} on 80 of 100 such days (${countWords(turnout.low95)}–${countWords(turnout.high95)} on 95).`,
    because: `Because ${own}, ${countWords(input.expected)} were planned, and the county’s counts say ${factor === 0 ? 'as many as planned' : `${signed(factor)}%`} today.${day.at < day.opensAt ? ' It is before opening.' : ''}`,
  }
}

function ballotsWords({ forecast, timeZone }: ForecastContext): Said | null {
  const { ballots } = forecast
  if (!ballots) return null
  const time = (at: Instant) => hhmmOf(at, timeZone)
  const ends = ballots.endsAt === null ? '' : ` The last is used at about ${time(ballots.endsAt)}.`
  const more =
    ballots.neededBy === null
      ? ''
      : ` More must be there by ${time(ballots.neededBy)}${ballots.leaveBy === null ? '' : `, so set out by ${time(ballots.leaveBy)}`}.`
  const style =
    ballots.style && ballots.style.chance >= WORTH_SAYING
      ? ` Of the styles “${ballots.style.name}” is the likeliest to run out: ${chanceWords(ballots.style.chance)}, by the plan’s shares, since styles aren’t counted during the day.`
      : ''
  return {
    title: 'Ballots',
    says: `Running out before closing: ${chanceWords(ballots.chance)}.${ends}${more}${style}`,
    because: `Because about ${countWords(ballots.left)} are left (counted ${time(ballots.countedAt)}) and ${countWords(ballots.wanted)} are wanted, at most ${countWords(ballots.wanted90)} on 90 of 100 such days.`,
  }
}

const STAGES: Readonly<Record<Bottleneck, string>> = {
  'check-in': 'check-in',
  booths: 'the booths',
  tabulator: 'the tabulator',
}

/** The next two hours of the line. */
export function lineForecastWords(line: LineForecast, day: DayInput, timeZone: string): Said {
  const long = day.policy.longLineMinutes
  const worst = line.worst
    ? ` Likeliest at ${hhmmOf(line.worst.at, timeZone)}: ${chanceWords(line.worst.chance)}.`
    : ''
  const said = line.said
    ? `${countWords(line.said.is)} were in line at ${hhmmOf(line.said.at, timeZone)}`
    : 'no line was reported'
  const service =
    line.seenMinutes > 0
      ? `a station takes ${minutes(line.serviceMinutes)} a voter, as seen in ${Math.round(line.seenMinutes)} busy station-minutes`
      : `a station takes ${minutes(line.serviceMinutes)} a voter, as planned`
  const how = line.exact
    ? ''
    : ' Worked out by averages: so far from a long wait, or so far beyond it, chance changes nothing.'
  return {
    title: 'Line',
    says: `Who joins now waits about ${waitWords(line.waitNow)}. Over ${long} minutes within two hours: ${chanceWords(line.chance)} of those who come.${worst}`,
    because: `Because ${said}, ${service}, and ${STAGES[line.bottleneck]} is the narrowest: ${loadWords(line.load)}.${how}`,
  }
}

/** What a change to the line would do, beside what is. */
export function whatIfWords(is: LineForecast, then: LineForecast): string {
  return `Then ${chanceWords(then.chance)} of those who come wait too long (now ${chanceWords(is.chance)}), and waiting within the next hour adds up to ${countWords(then.voterMinutes)} voter-minutes (now ${countWords(is.voterMinutes)}).`
}

/** What went into the forecast, with its age. */
export function inputsOfForecast(ctx: ForecastContext, now: Instant): Array<[string, string]> {
  const { input, county, timeZone, day } = ctx
  const at = (instant: Instant | null) =>
    instant === null ? 'as planned' : `${hhmmOf(instant, timeZone)}, ${ageWords(now - instant)}`
  const count = input.counts.at(-1)
  const line = input.lines.at(-1)
  const rows: Array<[string, string]> = [
    ['Forecast made', at(day.at)],
    ['Voters counted', count ? `${countWords(count.is)}, ${at(count.at)}` : 'not yet'],
    ['Line reported', line ? `${countWords(line.is)}, ${at(line.at)}` : 'not yet'],
    [
      'Stations working',
      `${input.stations.working} of ${input.stations.planned}, ${at(input.stations.asOf)}`,
    ],
    [
      'Tabulators working',
      input.tabulators.all === 0
        ? 'none here'
        : `${input.tabulators.working} of ${input.tabulators.all}, ${at(input.tabulators.asOf)}`,
    ],
    [
      'Ballots counted',
      input.ballots ? `${countWords(input.ballots.left)}, ${at(input.ballots.at)}` : 'not yet',
    ],
    [
      'County’s counts',
      `${countWords(county.came)} voters${county.pace === null ? '' : `, ${signed(county.pace)}% against the plan`}`,
    ],
  ]
  for (const fault of ctx.forecast.faults)
    rows.push([
      'Not used',
      `${countWords(fault.is)} at ${hhmmOf(fault.at, timeZone)}: ${FAULTS[fault.what]} ${countWords(fault.before)}`,
    ])
  return rows
}

const FAULTS = {
  back: 'lower than the',
  jump: 'higher than could be after the',
  stuck: 'has not moved from the',
} as const

function waitWords(wait: number): string {
  return wait < 1 ? 'less than a minute' : lengthWords(Math.round(wait) * MINUTE)
}

function minutes(of: number): string {
  return `${of.toFixed(1)} min`
}

function loadWords(load: number): string {
  if (load >= 99) return 'it takes nobody now'
  return `${Math.round(load * 100)}% of what it can take comes in the next two hours`
}
