import type { Interval } from '../forecast/forecast.ts'
import { countQuantiles, type Spread } from '../numbers/counts.ts'
import { normalQuantile } from '../numbers/normal.ts'

/**
 * How many will have voted when the polls close, from the plan's figure and the counts so far.
 *
 * Two things are not known: by what factor today's voters are more or fewer than planned (its logarithm m), and
 * how far the arrival curve is ahead or behind (the error g of the logit of the share that has come by now). Both
 * are taken to be normal. A count N by an instant when the share F should have come says
 *     ln N = ln(planned) + m + ln F + (1 − F)·g + noise,    variance of the noise 1/N,
 * and weighs in by its precision (a linear Gaussian update: R. E. Kalman, 1960; A. Gelman et al., "Bayesian Data
 * Analysis", 3rd ed., chapter 3). What is left to come has the logarithm ln(planned) + m + ln(1 − F) − F·g: a
 * curve that is ahead takes from the evening what it gave the morning. The remainder is a Poisson count with that
 * uncertain mean: negative binomial.
 */

/**
 * Normal on the log scale: the factor by which today's voters differ from the plan's figure; and what is not known
 * of the arrival curve (g), which goes with it: variance, and covariance with the factor.
 */
export type Factor = { mean: number; variance: number; curveVariance: number; curveCovariance: number }

export type TurnoutForecast = {
  /** Voters still to come until closing, as a count. */
  toCome: Spread
  /** m after the count; the curve's error g after it: its mean, too. */
  factor: Factor
  curveMean: number
  /** Variance of the logarithm of what is still to come. */
  toComeVariance: number
}

export type TurnoutSaid = {
  /** Voters planned for the whole day, ≥ 0. */
  planned: number
  prior: Factor
  /** Share of the day's voters who should have come by the count's instant, 0–1. */
  share: number
  /** Voters who came by that instant; null: no count. */
  came: number | null
}

/** With a lesser share than this a count says nothing. */
const LEAST_SHARE = 1e-4
/** With fewer voters the logarithm of a count is not near normal: its noise is taken from what was awaited. */
const FEW = 20

export function turnoutForecast({ planned, prior, share, came }: TurnoutSaid): TurnoutForecast {
  const F = Math.min(1, Math.max(0, share))
  let { mean: m, variance: varM, curveVariance: varG, curveCovariance: cov } = prior
  let g = 0
  if (came !== null && F > LEAST_SHARE && planned > 0) {
    const awaited = planned * F * Math.exp(m)
    // A count of nought has no logarithm: half a voter stands for it.
    const noise = 1 / Math.max(1, came, Math.min(awaited, FEW))
    const said = Math.log(Math.max(0.5, came) / (planned * F)) - m
    const slope = 1 - F
    const withM = varM + slope * cov
    const withG = cov + slope * varG
    const total = withM + slope * withG + noise
    m += (withM / total) * said
    g += (withG / total) * said
    varM -= (withM * withM) / total
    varG -= (withG * withG) / total
    cov -= (withM * withG) / total
  }
  const variance = Math.max(0, varM + F * F * varG - 2 * F * cov)
  const mean = planned * (1 - F) * Math.exp(m - F * g + variance / 2)
  return {
    toCome: { mean, extraVariance: mean * mean * Math.expm1(variance) },
    factor: { mean: m, variance: varM, curveVariance: varG, curveCovariance: cov },
    curveMean: g,
    toComeVariance: variance,
  }
}

const PARTS = [0.025, 0.1, 0.5, 0.9, 0.975]
/** From so many on a count is as good as continuous: its quantiles are taken from the lognormal, at once. */
const MANY = 2_000

/** Those who came and those to come, as intervals of the total. */
export function totalsOf(came: number, { mean, extraVariance }: Spread): Interval {
  const quantiles =
    mean < MANY ? countQuantiles({ mean, extraVariance }, PARTS) : lognormal(mean, extraVariance)
  const [low95, low80, total, high80, high95] = quantiles.map(n => Math.max(0, Math.round(came + n)))
  return { total: total!, low80: low80!, high80: high80!, low95: low95!, high95: high95! }
}

function lognormal(mean: number, extraVariance: number): number[] {
  const variance = Math.log1p((mean + extraVariance) / (mean * mean))
  const middle = Math.log(mean) - variance / 2
  return PARTS.map(part => Math.exp(middle + Math.sqrt(variance) * normalQuantile(part)))
}

/**
 * Part of the variance of an hour's share that is a tilt of the whole day (a morning that is strong as a whole, an
 * evening that is weak), not the hour's own: an assumption, held to tests/domain/calibration.
 */
const TILT = 0.15

/**
 * Variance of the logit of the share come by an instant, where each hour's share is off by a coefficient of
 * variation: of ln(past) − ln(future), each a sum of parts that are off on their own (delta method), and of a tilt
 * that runs straight through the day's voters: its means before and after any instant lie √3 of its standard
 * deviations apart.
 * @param hours shares of the day's hours in order, each ≥ 0
 * @param share of the day's voters who should have come, 0–1
 */
export function shapeVariance(hours: readonly number[], share: number, cv: number): number {
  const { past, future } = concentrations(hours, share)
  return cv * cv * ((1 - TILT) * (past + future) + 3 * TILT)
}

/** Σw² ÷ (Σw)² of the hours before and after (1 for one, 1/n for n equal ones); 0 where there is none. */
function concentrations(hours: readonly number[], share: number): { past: number; future: number } {
  let before = 0
  const sums = [0, 0]
  const squares = [0, 0]
  for (const hour of hours) {
    const past = Math.min(hour, Math.max(0, share - before))
    before += hour
    for (const [side, w] of [past, hour - past].entries()) {
      sums[side]! += w
      squares[side]! += w * w
    }
  }
  const [past, future] = sums.map((sum, side) => (sum > 1e-12 ? squares[side]! / (sum * sum) : 0))
  return { past: past!, future: future! }
}
