import type { Bottleneck, LineForecast } from '../../../server/domain/forecast/forecast.ts'
import type { DayInput } from '../../../server/domain/forecast/input.ts'
import { chanceWords } from '../../../server/domain/forecast/say.ts'
import { hhmmOf } from '../../../server/domain/plan/zone.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { lengthWords } from '../../live/clock.ts'
import { countWords } from '../../parts/figures.ts'
import type { Said } from './forecastWords.ts'

const NARROWEST: Readonly<Record<Bottleneck, string>> = {
  'check-in': 'check-in is the narrowest',
  booths: 'the booths are the narrowest',
  tabulator: 'the tabulator is the narrowest',
}
const BLOCKED: Readonly<Record<Bottleneck, string>> = {
  'check-in': 'nobody is checked in now',
  booths: 'no booth is free now',
  tabulator: 'no tabulator works and the emergency slot is not said to be open',
}
const HOW: Readonly<Record<LineForecast['how'], string>> = {
  exact: '',
  'far-from-long': ' A long wait is so far off that this is an estimate.',
  averages: ' The line is so long that this is reckoned with averages.',
  blocked: '',
}

/** The next two hours of the line. */
export function lineForecastWords(line: LineForecast, day: DayInput, timeZone: string): Said {
  const because = line.said
    ? `${countWords(line.said.is)} were in line at ${hhmmOf(line.said.at, timeZone)}${tooOld(line, day) ? ', carried on from there' : ''}`
    : 'no line was reported and the planned voters come'
  if (line.how === 'blocked')
    return {
      title: 'Line',
      says: 'As it stands nobody gets through: who joins now waits until that ends.',
      because: `Because ${BLOCKED[line.bottleneck]}; ${because}.`,
    }
  const worst = line.worst
    ? ` Likeliest at ${hhmmOf(line.worst.at, timeZone)}: ${chanceWords(line.worst.chance)}.`
    : ''
  const service =
    line.seenMinutes > 0
      ? `a station takes ${line.serviceMinutes.toFixed(1)} min a voter, as seen in ${countWords(line.seenMinutes)} busy station-minutes`
      : `a station takes ${line.serviceMinutes.toFixed(1)} min a voter, as planned`
  return {
    title: 'Line',
    says: `Who joins now waits ${waitWords(line.waitNow)}. Over ${day.policy.longLineMinutes} minutes within two hours: ${chanceWords(line.chance)} of those who come.${worst}`,
    because: `Because ${because}, ${service}, and ${NARROWEST[line.bottleneck]}: ${Math.round(line.load * 100)}% of what it can take comes in the next two hours.${HOW[line.how]}`,
  }
}

/** What a change to the line would do, beside what is. */
export function whatIfWords(is: LineForecast, then: LineForecast, day: DayInput): string {
  if (then.how === 'blocked') return 'Then nobody would get through.'
  const now = is.how === 'blocked' ? 'now nobody gets through' : `now ${chanceWords(is.chance)}`
  return `Then ${chanceWords(then.chance)} of those who come wait too long (${now}), and waiting within ${day.policy.horizonMinutes} minutes adds up to ${countWords(then.voterMinutes)} voter-minutes (now ${countWords(is.voterMinutes)}).`
}

function tooOld(line: LineForecast, day: DayInput): boolean {
  return line.said !== null && day.at - line.said.at > day.policy.countEveryMinutes * MINUTE
}

function waitWords(wait: number): string {
  return wait < 1 ? 'less than a minute' : `about ${lengthWords(Math.round(wait) * MINUTE)}`
}
