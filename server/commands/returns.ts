import { partDetail } from '../domain/log/check.ts'
import type { NewEntry } from '../domain/log/dayLog.ts'
import { type Decider, deskEntry, refuse } from './decide.ts'

/**
 * A return checked in at a receiving station, as it was found. Nothing is refused because it differs: what
 * differs becomes a reason on the call list. Checked in anew, the later check-in stands and both are in the log.
 */
export const checkInReturn: Decider<'CheckInReturn'> = (body, at) => {
  const { precinct, ...found } = body
  if (!at.index.precincts.has(precinct))
    return refuse('unknown-precinct', `there is no precinct ${precinct} in this day's plan`)
  const { body: kept, detail } = partDetail('ReturnReceived', found)
  const entry = deskEntry('ReturnReceived', precinct, kept, at, detail)
  return { entries: [entry as NewEntry] }
}
