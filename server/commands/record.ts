import { checkPrecinctReport, partDetail } from '../domain/log/check.ts'
import type { NewEntry, Problems } from '../domain/log/dayLog.ts'
import { kinds } from '../domain/log/kinds.ts'
import { fromRfc3339, type Instant, MINUTE, toRfc3339 } from '../domain/time.ts'
import { type Decider, deskEntry, refuse } from './decide.ts'

/**
 * What a caller says on the telephone, or a paper note said, becomes the same entries as a tablet's, with the
 * time it happened. One call's reports are written together or not at all.
 */
export const recordReports: Decider<'RecordReports'> = (body, at) => {
  if (!at.state.precincts.has(body.precinct))
    return refuse('unknown-precinct', `there is no precinct ${body.precinct} in this day's plan`)
  const entries: NewEntry[] = []
  const problems: Problems[number][] = []
  body.reports.forEach((report, i) => {
    const checked = checkPrecinctReport(report.kind, report.body)
    if ('problems' in checked) {
      problems.push(...checked.problems.map(p => ({ path: `reports.${i}.${p.path}`, message: p.message })))
      return
    }
    const happened = happenedOf(report.at, at.now, at.index.brief.midnight)
    if (typeof happened === 'string') {
      problems.push({ path: `reports.${i}.at`, message: happened })
      return
    }
    const { body: kept, detail } = partDetail(checked.kind, checked.body)
    const asOf = typeof kept.asOf === 'string' ? Math.min(fromRfc3339(kept.asOf), at.now) : undefined
    const entry = deskEntry(
      checked.kind,
      body.precinct,
      asOf === undefined ? kept : { ...kept, asOf: toRfc3339(asOf) },
      at,
      detail,
    )
    entries.push({
      ...entry,
      version: kinds[checked.kind].version,
      occurredAt: happened,
      origin: { via: body.via, spoke: body.spoke, wrote: at.person.id },
    } as NewEntry)
  })
  if (problems.length > 0) return refuse('invalid', 'some of it can’t be written down yet', { problems })
  return { entries }
}

/** A clock at the desk and one on a wall differ: five minutes ahead still means "now". */
const AHEAD = 5 * MINUTE

function happenedOf(at: string | undefined, now: Instant, midnight: Instant): Instant | string {
  if (at === undefined) return now
  const happened = fromRfc3339(at)
  if (happened > now + AHEAD) return 'this time has not come yet'
  if (happened < midnight) return 'a time of this day'
  return Math.min(happened, now)
}

export const addNote: Decider<'AddNote'> = (body, at) => {
  if (body.precinct !== null && !at.state.precincts.has(body.precinct))
    return refuse('unknown-precinct', `there is no precinct ${body.precinct} in this day's plan`)
  return { entries: [deskEntry('NoteAdded', body.precinct, {}, at, { note: body.note })] }
}
