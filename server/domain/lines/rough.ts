import { Z90 } from '../numbers/normal.ts'
import type { CheckIn, CheckInOutlook } from './exact.ts'
import { fluidLine, fluidWaitsLonger, type Stage } from './fluid.ts'
import { mustWait, usualWait } from './steady.ts'

/**
 * A check-in line without its chances in full: the fluid with a normal's chance added (fluid.ts). For lines that
 * can't become long, that nobody takes, or that are too large for the exact one. Over random lines its chance of a
 * wait over half an hour was within 0.05 of the exact one (tests/domain/lines/rough.test.ts).
 */

/** Mean line, in standard deviations, of one that began empty and takes just as many as come: a normal, reflected at 0. */
const REFLECTED = Math.sqrt(2 / Math.PI)
/** People waiting in the steady state (Little's law of Sakasegawa's wait); Infinity where there is none. */
function steadyLine(arriving: number, stations: number, perStation: number): number {
  return arriving > 0 ? arriving * usualWait(arriving, stations, perStation, 1) : 0
}

/**
 * What chance adds to the fluid's line on average, at the start of each step and at the end of the last: in each step
 * it grows like a normal that is reflected at 0 (its variance by that of two Poisson counts), up to the steady state.
 */
function byChance({ steps, perStation }: CheckIn, factor: number): Float64Array {
  const line = new Float64Array(steps.length + 1)
  for (let i = 0; i < steps.length; i++) {
    const { minutes, arriving, stations } = steps[i]!
    const come = arriving * factor * minutes
    // No more than have come: of a few the deviation is more.
    const grown = Math.min(line[i]! + come, Math.sqrt(line[i]! ** 2 + REFLECTED ** 2 * 2 * come))
    line[i + 1] = stations > 0 ? Math.min(grown, steadyLine(arriving * factor, stations, perStation)) : 0
  }
  return line
}

function stageOf({ steps, perStation }: CheckIn, factor: number, inLine: number): Stage {
  return {
    waiting: inLine,
    minutes: steps.map(s => s.minutes),
    come: steps.map(s => s.arriving * s.minutes * factor),
    rate: steps.map(s => s.stations * perStation),
  }
}

/** A rough chance of a long wait up to which the exact one isn't asked: it was under 0.01 over random lines. */
const SURELY_SHORT = 0.003

/** Whether a long wait could come of a line, by its rough outlook. */
export function couldMatter({ byFactor }: CheckInOutlook, factors: CheckIn['factors']): boolean {
  return byFactor[0]!.over.some(
    (_, i) => factors.reduce((sum, { weight }, k) => sum + weight * byFactor[k]!.over[i]!, 0) > SURELY_SHORT,
  )
}

export function roughLine(checkIn: CheckIn, logSd: number): CheckInOutlook {
  const { factors, over } = checkIn
  const byFactor = factors.map(({ factor, inLine }) => {
    const stage = stageOf(checkIn, factor, inLine)
    const more = byChance(checkIn, factor)
    return {
      mean: fluidLine(stage).map((people, i) => Math.max(people, more[i]!)),
      over: Float64Array.from(over, (within, i) => fluidWaitsLonger(stage, i, within)),
    }
  })
  return { byFactor, ...bandOf(checkIn, stageOf(checkIn, 1, factors[0]!.inLine), logSd, over.length) }
}

/** The band: normal about the fluid where people wait, else the steady state's ninth tenth. */
function bandOf(
  { steps, perStation }: CheckIn,
  stage: Stage,
  logSd: number,
  points: number,
): { low: Float64Array; high: Float64Array } {
  const line = fluidLine(stage)
  const low = new Float64Array(points)
  const high = new Float64Array(points)
  let come = 0
  for (let i = 0; i < points; i++) {
    if (i > 0) come += stage.come[i - 1]!
    const { arriving, stations } = steps[Math.min(i, steps.length - 1)]!
    const now = line[i]!
    const moved = come + Math.max(0, stage.waiting + come - now)
    const reach = now > 0 ? Z90 * Math.sqrt(moved + (logSd * come) ** 2) : 0
    low[i] = Math.max(0, Math.round(now - reach))
    high[i] = Math.max(Math.round(now + reach), i > 0 ? steadyHigh(arriving, stations, perStation, come) : 0)
  }
  return { low, high }
}

/** People waiting whom the steady state exceeds once in ten times: P(more than n wait) = C·ρ^(n+1). */
function steadyHigh(arriving: number, stations: number, perStation: number, come: number): number {
  const rho = stations > 0 ? arriving / (stations * perStation) : 1
  const most = Math.ceil(Z90 * Math.sqrt(2 * come))
  if (rho >= 1) return stations > 0 ? most : 0
  const wait = mustWait(arriving / perStation, stations)
  return wait <= 0.1 ? 0 : Math.min(most, Math.max(0, Math.ceil(Math.log(0.1 / wait) / Math.log(rho)) - 1))
}
