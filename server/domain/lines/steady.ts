/**
 * Lines in their steady state, where the load is under 1.
 *
 * Erlang's formulas (A. K. Erlang, 1917) by the recursion B(c) = a·B(c−1) ÷ (c + a·B(c−1)); checked against
 * tests/reference/mmc.csv. For times that aren't exponential the approximation of H. Sakasegawa ("An approximation
 * formula L_q ≃ α·ρ^β/(1−ρ)", Annals of the Institute of Statistical Mathematics 29, 1977) with the squared
 * coefficients of variation of arrivals and service; checked in tests/domain/lines/steady.test.ts.
 */

/** Chance that who comes must wait (Erlang C), 0–1; `load` = arrivals ÷ what one station takes, in stations. */
export function mustWait(load: number, stations: number): number {
  if (load >= stations) return 1
  if (load <= 0) return 0
  let blocked = 1
  for (let c = 1; c <= stations; c++) blocked = (load * blocked) / (c + load * blocked)
  const rho = load / stations
  return blocked / (1 - rho * (1 - blocked))
}

/**
 * Mean wait in minutes of G/G/c by Sakasegawa's approximation; Infinity where the load isn't under the stations.
 * @param spread (ca² + cs²) ÷ 2: 1 for exponential times both, less for more regular ones
 */
export function usualWait(arriving: number, stations: number, perStation: number, spread: number): number {
  if (arriving <= 0) return 0
  const rho = arriving / (stations * perStation)
  if (!(rho < 1)) return Number.POSITIVE_INFINITY
  return ((rho ** (Math.sqrt(2 * (stations + 1)) - 1) / (stations * (1 - rho))) * spread) / perStation
}
