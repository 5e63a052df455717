/**
 * How long a line means waiting, in a first honest form: two readings of one law.
 *
 * Little's law (J. D. C. Little, "A Proof for the Queuing Formula: L = λW", Operations Research 9, 1961) says
 * line = rate × wait, so wait = line ÷ rate. The rate may be that of arrivals (right over a long stretch, which
 * is how election studies measure it: the line at the top of each hour ÷ arrivals per minute) or that of the
 * stations while there is a line (right for who joins it now). The rules use the second: a line that grows is
 * seen for what it is before the arrivals of the hour are known.
 */

/** Voters checked in per minute by a number of stations that each take `checkInMinutes` for a voter. */
export function perMinute(stations: number, checkInMinutes: number): number {
  return stations / checkInMinutes
}

/** Minutes that the last in line will wait if the stations work through it; Infinity where none works. */
export function waitMinutes(inLine: number, servedPerMinute: number): number {
  if (inLine <= 0) return 0
  return servedPerMinute > 0 ? inLine / servedPerMinute : Number.POSITIVE_INFINITY
}

/**
 * The line after some minutes of steady arrivals and service, as a fluid: it grows or shrinks by the difference
 * and never goes below nobody. Good while the stations are busy; it sees no chance.
 */
export function lineAfter(
  inLine: number,
  arriving: number,
  minutes: number,
  servedPerMinute: number,
): number {
  return Math.max(0, inLine + arriving - minutes * servedPerMinute)
}

/**
 * Voter-minutes of waiting over a stretch of time, by the fluid line: the area under it (each minute in which
 * somebody stands in line costs that somebody a minute).
 * @param inLine line at the start
 * @param arriving voters who come in the stretch, evenly
 * @param minutes length of the stretch
 * @param servedPerMinute what the stations can take
 */
export function voterMinutesInLine(
  inLine: number,
  arriving: number,
  minutes: number,
  servedPerMinute: number,
): number {
  if (minutes <= 0) return 0
  const slope = arriving / minutes - servedPerMinute
  const end = inLine + slope * minutes
  if (end >= 0) return ((inLine + end) / 2) * minutes
  return (inLine * (inLine / -slope)) / 2
}
