import { type Coverage, chanceScores, type Score, turnoutCoverage } from '../support/calibrate.ts'
import { type Figure, figure } from './figure.ts'

/**
 * How often the forecasts were right on made-up days (tests/support/manyDays.ts), from their fixed seed: intervals
 * of the turnout beside what they promise; Brier scores beside those of who always says how often it happens; and
 * what was said on average beside what happened.
 */
export function calibration(): Figure[] {
  const { late, wait } = chanceScores(120, 24)
  return [
    ...turnoutCoverage(600, 24).flatMap(covered),
    ...late.flatMap(score => scored('late opening', score)),
    ...wait.flatMap(score => scored('long wait', score)),
  ]
}

function covered({ hour, what, of, within80, within95, width80 }: Coverage): Figure[] {
  const name = `${what} ${clock(hour)}`
  return [
    figure(`${name} 80%`, 100 * within80, `% of ${of} held`, 80),
    figure(`${name} 95%`, 100 * within95, `% of ${of} held`, 95),
    figure(`${name} width`, 100 * width80, '% of the total, the 80% interval'),
  ]
}

function scored(what: string, { hour, of, happened, said, brier, ofBaseRate }: Score): Figure[] {
  const name = `${what} ${clock(hour)}`
  return [
    figure(`${name} Brier`, 1_000 * brier, `thousandths, of ${of}`, 1_000 * ofBaseRate),
    figure(`${name} said`, 100 * said, '% on average', 100 * happened),
  ]
}

function clock(hours: number): string {
  return `${Math.floor(hours)}:${String(Math.round((hours % 1) * 60)).padStart(2, '0')}`
}
