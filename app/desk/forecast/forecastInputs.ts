import { hhmmOf } from '../../../server/domain/plan/zone.ts'
import type { Instant } from '../../../server/domain/time.ts'
import { ageWords } from '../../live/clock.ts'
import { countWords, signed } from '../../parts/figures.ts'
import type { ForecastContext } from './forecastWords.ts'

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
        : `${input.tabulators.working} of ${input.tabulators.all}, heard ${at(input.tabulators.asOf)}`,
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
