import type { PlanFiles } from './check.ts'
import { type CsvLine, type TableName, tables } from './csv.ts'
import { assumed, figuresFor } from './fromFeedNumbers.ts'
import type { Plan } from './plan.ts'
import { policy } from './policy.ts'
import { standardContainers, standardProfile, standardSteps } from './standardDay.ts'

/** The files of a made plan, as the lines of its tables. */

export type PlacedRow = { code: string; name: string; place: string; isCenter: boolean }

export function tablesOf(made: {
  json: Pick<Plan, 'format' | 'county' | 'name' | 'kind' | 'date' | 'timeZone' | 'hours' | 'officePhone'> & {
    policy: object
  }
  rows: readonly PlacedRow[]
  /** Precincts whose voters go to the vote centers. */
  served: number
  /** Rows of places.csv. */
  places: readonly string[][]
}): PlanFiles {
  const { json, rows } = made
  const practice = json.kind === 'practice'
  const minutesPerVoter = policy.parse({}).checkInMinutes
  const centers = rows.filter(r => r.isCenter).length
  const perCenter =
    made.served === 0 ? assumed.expected : Math.ceil((made.served * assumed.expected) / Math.max(1, centers))
  const figured = rows.map(row => ({
    ...row,
    ...figuresFor(
      row.isCenter ? perCenter : assumed.expected,
      row.isCenter ? 0 : assumed.registered,
      json.hours,
      minutesPerVoter,
    ),
  }))
  const rovers = practice ? Math.ceil(rows.length / assumed.precinctsPerRover) : 0
  const base = made.places[0]?.[0] ?? ''
  const lines: Record<FeedTable, string[][]> = {
    precincts: figured.map(r => [
      r.code,
      r.name,
      r.place,
      ...[r.registered, r.expected, r.ballots, r.stations, r.booths, r.workers].map(String),
      r.isCenter ? 'everyone' : '',
    ]),
    places: [...made.places],
    equipment: figured.flatMap(r => [
      [`T-${r.code}`, r.code, 'tabulator', 'Tabulator'],
      [`A-${r.code}`, r.code, 'accessible-station', 'Accessible station'],
      [`B-${r.code}`, r.code, 'ballot-box', 'Ballot box'],
      ...Array.from({ length: r.stations }, (_, i) => [
        `P${i + 1}-${r.code}`,
        r.code,
        'pollbook',
        `Pollbook ${i + 1}`,
      ]),
    ]),
    seals: practice
      ? rows.flatMap((r, i) =>
          standardContainers.map(({ container, phase }, k) => [
            r.code,
            container,
            `PRACTICE-${String(i * standardContainers.length + k + 1).padStart(5, '0')}`,
            phase ?? '',
          ]),
        )
      : [],
    rovers: Array.from({ length: rovers }, (_, i) => [
      `rover-${i + 1}`,
      `Rover ${i + 1}`,
      'not given',
      base,
      '',
    ]),
    contacts: [],
    steps: standardSteps.map(s => [
      s.code,
      s.phase,
      s.title,
      s.after.join(';'),
      String(s.medianMinutes),
      String(s.p90Minutes),
      s.byTwo ? 'yes' : 'no',
      s.completedBy,
    ]),
    profile: standardProfile(json.hours.open, json.hours.close).map(p => [p.from, p.to, p.share.toFixed(4)]),
  }
  return {
    json: `${JSON.stringify(json, null, 2)}\n`,
    tables: Object.fromEntries(
      Object.entries(lines).map(([name, cells]) => [name, withHeader(name as FeedTable, cells)]),
    ),
    unread: [],
  }
}

/** The order of the cells above is the order of the columns in `tables`; columns added there later stay empty. */
function withHeader(name: FeedTable, rows: readonly string[][]): CsvLine[] {
  const columns = headers[name]
  const known = new Set(Object.keys(tables[name].columns))
  const bad = columns.filter(c => !known.has(c))
  if (bad.length > 0) throw new Error(`${tables[name].file} has no column ${bad.join(', ')}`)
  return [columns, ...rows].map((cells, i) => ({ line: i + 1, cells }))
}

/** A feed says nothing that styles or the county's own cards could be made of. */
type FeedTable = Exclude<TableName, 'styles' | 'cards'>

const headers: Record<FeedTable, string[]> = {
  precincts: [
    'code',
    'name',
    'place',
    'registered',
    'expected',
    'ballots',
    'stations',
    'booths',
    'workers',
    'serves',
  ],
  places: ['code', 'name', 'address', 'latitude', 'longitude', 'phone', 'area'],
  equipment: ['tag', 'precinct', 'kind', 'label'],
  seals: ['precinct', 'container', 'number', 'phase'],
  rovers: ['code', 'name', 'phone', 'base', 'skills'],
  contacts: ['precinct', 'role', 'name', 'phone'],
  steps: ['code', 'phase', 'title', 'after', 'medianMinutes', 'p90Minutes', 'byTwo', 'completedBy'],
  profile: ['from', 'to', 'share'],
}
