import type { CountyForecast, PrecinctForecast } from '../../../server/domain/forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { chanceWords, WORTH_SAYING } from '../../../server/domain/forecast/say.ts'
import { hhmmOf } from '../../../server/domain/plan/zone.ts'
import type { Instant } from '../../../server/domain/time.ts'
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
      : ` It ${ready.helpBy > day.at ? 'must' : 'had to'} be done by ${time(ready.helpBy)} for the rest to fit before opening time on 80 of 100 such mornings.`
  return {
    title: 'Opening',
    says: `Ready at about ${time(ready.by50)}, between ${time(ready.by10)} and ${time(ready.by90)} on 80 of 100 such mornings. By ${time(day.opensAt)}: ${chanceWords(ready.chance)}.`,
    because: `Because ${ready.done} of ${ready.of} steps are done and “${stepTitle(ready.holding)}” holds up the rest; in the county steps take ${pace === 0 ? 'as long as planned' : pace > 0 ? `${pace}% longer than planned` : `${-pace}% less time than planned`} today.${help}`,
  }
}

/** Who stood in line when voters were counted has come too. */
function lineThen(input: PrecinctInput, at: Instant): number | null {
  const said = input.lines.find(line => line.at === at)
  return said && said.is > 0 ? said.is : null
}

function turnoutWords({ county, input, forecast, timeZone }: ForecastContext): Said | null {
  const { turnout } = forecast
  if (!turnout) return null
  const { came } = turnout
  const whole = input.everyone ? 'arrivals' : 'voters'
  const factor = Math.round((Math.exp(county.factor.mean) - 1) * 100)
  const line = came && lineThen(input, came.at)
  const own = came
    ? `${countWords(came.is)} were checked in${line ? ` and ${countWords(line)} in line` : ''} by ${hhmmOf(came.at, timeZone)}${turnout.pace === null ? '' : ` (checked in ${signed(turnout.pace)}% against the plan)`}`
    : 'nobody has counted here yet'
  const countyToo =
    county.came === 0
      ? 'no precinct has counted yet'
      : `the county’s counts say ${factor === 0 ? 'as many as planned' : `${signed(factor)}%`} today`
  return {
    title: 'Turnout',
    says: `${countWords(turnout.total)} ${whole} by closing, between ${countWords(turnout.low80)} and ${countWords(turnout.high80)} on 80 of 100 such days (${countWords(turnout.low95)}–${countWords(turnout.high95)} on 95).`,
    because: `Because ${own}, ${countWords(input.expected)} were planned, and ${countyToo}.`,
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
      : ` To be on the safe side more is there by ${time(ballots.neededBy)}${ballots.leaveBy === null ? '' : `: set out by ${time(ballots.leaveBy)}`}.`
  const style =
    ballots.style && ballots.style.chance >= WORTH_SAYING
      ? ` Of the styles “${ballots.style.name}” is the likeliest to run out: ${chanceWords(ballots.style.chance)}, by the plan’s shares, since styles aren’t counted during the day.`
      : ''
  return {
    title: 'Ballots',
    says: `${ballots.style ? 'All ballots together running out' : 'Running out'} before closing: ${chanceWords(ballots.chance)}.${ends}${style}${more}`,
    because: `Because about ${countWords(ballots.left)} are left (counted ${time(ballots.countedAt)}) and ${countWords(ballots.wanted)} are wanted, at most ${countWords(ballots.wanted90)} on 90 of 100 such days.`,
  }
}
