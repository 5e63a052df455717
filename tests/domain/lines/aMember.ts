import type { DayInput, PrecinctInput } from '../../../server/domain/forecast/input.ts'
import type { LineMember } from '../../../server/domain/lines/members.ts'
import { QUARTER, shareBy } from '../../../server/domain/turnout/profile.ts'

/** A precinct in a line, whose voters come by the plan; `logSd` 0: for sure as many as planned. */
export function aMember(day: DayInput, input: PrecinctInput, logSd = 0): LineMember {
  const coming: number[] = []
  for (
    let q = Math.floor((day.at - day.midnight) / QUARTER);
    day.midnight + q * QUARTER < day.closesAt;
    q++
  ) {
    const from = Math.max(day.at, day.midnight + q * QUARTER)
    const to = day.midnight + (q + 1) * QUARTER
    coming.push(
      input.expected * (shareBy(day.profile, day.midnight, to) - shareBy(day.profile, day.midnight, from)),
    )
  }
  const total = input.expected
  const interval = { total, low80: total, high80: total, low95: total, high95: total }
  return { input, outlook: { ...interval, came: null, pace: null, coming, logSd } }
}
