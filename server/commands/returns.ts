import { partDetail } from '../domain/log/check.ts'
import type { NewEntry, Problems } from '../domain/log/dayLog.ts'
import { hhmmOf } from '../domain/plan/zone.ts'
import { plainSeal } from '../domain/returns/plainSeal.ts'
import type { CommandBody } from '../protocol/command.ts'
import { type Decider, type Deciding, deskEntry, refuse } from './decide.ts'

/**
 * A return checked in at a receiving station, as it was found. Nothing is refused because it differs: what
 * differs becomes a reason on the call list. Checked in anew, the later check-in stands and both are in the log;
 * but only by who says which one it replaces, so that of two clerks with the same return on the table exactly one
 * checks it in and the other is told.
 */
export const checkInReturn: Decider<'CheckInReturn'> = (body, at) => {
  const { precinct, replaces, ...found } = body
  const known = at.state.precincts.get(precinct)
  if (!known || !at.index.precincts.has(precinct))
    return refuse('unknown-precinct', `there is no precinct ${precinct} in this day's plan`)
  const station = body.station ?? stationOf(at)
  const problems = problemsOf(found, station, at)
  if (problems.length > 0)
    return refuse('invalid', 'some of it can’t be written down yet', { problems: [...problems] })
  const standing = known.received
  if (standing && replaces !== standing.is.position) {
    const by = standing.is.via === 'desk' && standing.is.by !== null ? at.nameOf(standing.is.by) : null
    const when = hhmmOf(standing.asOf, at.index.plan.timeZone)
    return refuse(
      'other-state',
      by ? `${by} checked this return in at ${when}` : `this return was said to be received at ${when}`,
      by ? { by } : {},
    )
  }
  const { body: kept, detail } = partDetail('ReturnReceived', { ...found, ...(station ? { station } : {}) })
  const entry = deskEntry('ReturnReceived', precinct, kept, at, detail)
  // A practice clock may stand still: what is checked in anew happened after what it replaces all the same.
  const occurredAt = standing ? Math.max(at.now, standing.asOf + 1) : at.now
  return { entries: [{ ...entry, occurredAt } as NewEntry] }
}

/** Who is posted at a place of the plan checks in there, unless they say otherwise. */
function stationOf(at: Deciding): string | undefined {
  const { role, post } = at.person
  return role === 'receiving' && post && at.index.plan.places.some(p => p.code === post) ? post : undefined
}

type Found = Pick<CommandBody<'CheckInReturn'>, 'items' | 'seals'>

function problemsOf(found: Found, station: string | undefined, at: Deciding): Problems {
  const problems: Problems[number][] = []
  if (found.items.length === 0 && found.seals.length === 0)
    problems.push({ path: 'body.items', message: 'at least one item or one seal' })
  twice(found.items, item => item, 'items', problems)
  twice(found.seals, plainSeal, 'seals', problems)
  if (station !== undefined && !at.index.plan.places.some(p => p.code === station))
    problems.push({ path: 'body.station', message: 'a place of this day’s plan' })
  return problems
}

function twice(
  list: readonly string[],
  plain: (text: string) => string,
  field: 'items' | 'seals',
  problems: Problems[number][],
) {
  const seen = new Set<string>()
  list.forEach((text, i) => {
    const key = plain(text)
    if (seen.has(key))
      problems.push({ path: `body.${field}.${i}`, message: `${text} stands in the list twice` })
    seen.add(key)
  })
}
