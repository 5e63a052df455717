import type { PlanHours } from './fromFeedCountyHours.ts'
import { assumed } from './fromFeedNumbers.ts'
import type { FeedRow, Rows } from './fromFeedRows.ts'
import type { Assumption, FeedOptions } from './fromFeedShape.ts'
import type { Positions, Site, Sites } from './fromFeedSites.ts'
import type { PlacedRow } from './fromFeedTables.ts'

/** Everything that was assumed, what it touches and where it is changed, gravest first. */
export function listed(made: {
  found: Rows
  times: PlanHours
  positions: Positions
  sites: Sites
  used: readonly Site[]
  placed: readonly PlacedRow[]
  phone: string | null
  options: FeedOptions
  date: string
  feedDate: string
  seats: ReadonlyArray<{ row: FeedRow; site: Site }>
}): Assumption[] {
  const { found, times, positions, sites, phone, options, seats } = made
  const all = made.placed.length
  const list: Assumption[] = []
  const assume = (about: string, where: string, what: string, names?: readonly string[]) => {
    if (names?.length !== 0)
      list.push({
        about,
        what,
        where,
        precincts: names?.length ?? all,
        names: names && names.length < all ? [...names] : [],
      })
  }
  const rowsAt = (keys: readonly string[]) => {
    const wanted = new Set(keys)
    return seats.filter(s => wanted.has(s.site.key)).map(s => s.row.name)
  }
  const practice = options.kind === 'practice'

  precinctsListed(found, assume)
  assume(
    'early site open on the day',
    'precincts.csv, places.csv',
    'an early-voting site whose hours include election day is a polling place too',
    rowsAt([...sites.earlyAndDay]),
  )
  assume(
    'several in one place',
    'precincts.csv place',
    'precincts at one address share the place and are teams of their own',
    together(seats),
  )
  assume(
    'position missing',
    'places.csv latitude, longitude',
    positions.none
      ? 'the feed gives no position at all: every place is at 0, 0'
      : 'the feed gives no position: the place is put in the middle of the others',
    rowsAt(positions.missing),
  )
  assume(
    'position not believed',
    'places.csv latitude, longitude',
    `far from all others (${positions.far
      .map(f => `${f.latitude}, ${f.longitude}: ${f.km} km`)
      .slice(0, 3)
      .join('; ')}): the place is put in their middle`,
    rowsAt(positions.far.map(f => f.key)),
  )
  hoursListed(times, assume)
  if (made.date !== made.feedDate)
    assume(
      'date',
      'plan.json date',
      `the feed's election is on ${made.feedDate}; the plan is for ${made.date}`,
    )
  assume(
    'kind',
    'plan.json kind, name',
    practice ? 'a practice day, which `npm run demo -- --plan DIR` plays' : 'a real election day',
  )
  assume(
    'registered, expected',
    'precincts.csv registered, expected',
    `${assumed.registered.toLocaleString('en-US')} registered and ${assumed.expected} expected in each precinct; a vote center has none registered and an equal part of the voters of precincts without a row`,
  )
  assume(
    'ballots',
    'precincts.csv ballots',
    `a quarter more than the voters expected, in packs of ${assumed.pack}`,
  )
  assume(
    'stations, booths, workers',
    'precincts.csv stations, booths, workers',
    `as many stations as keep each below half of the voters it could check in, a booth for ${assumed.votersPerBooth} voters, ${assumed.workersBeside} workers besides one at each station`,
  )
  assume(
    'equipment',
    'equipment.csv',
    'one tabulator, accessible station and ballot box, and a pollbook for each station, with made-up asset tags',
  )
  assume(
    'seals',
    'seals.csv',
    practice
      ? 'five seals in each precinct with practice numbers, which no real seal has'
      : 'none: no seal is compared until the file has the numbers',
  )
  assume(
    'rovers',
    'rovers.csv',
    practice
      ? `one for ${assumed.precinctsPerRover} precincts, without telephones, all at one place`
      : 'none: nobody can be sent until the file names them',
  )
  assume('contacts', 'contacts.csv', 'none: the desk has nobody to ring until the file names them')
  assume(
    'office telephone',
    'plan.json officePhone',
    phone === null
      ? 'none is known: it says "not given"'
      : `${phone}, of the locality's election administration; precincts may have another number to ring`,
  )
  assume('steps', 'steps.csv', 'fourteen generic steps and their usual minutes')
  assume(
    'arrival profile',
    'profile.csv',
    'a morning peak, a quiet noon and a peak after work, the same everywhere',
  )
  assume('policy', 'plan.json policy', 'every threshold has its standard value')
  return list
}

type Assume = (about: string, where: string, what: string, names?: readonly string[]) => void

function precinctsListed(found: Rows, assume: Assume): void {
  const where = 'precincts.csv'
  assume(
    'no polling place',
    'precincts.csv place, places.csv',
    'the feed names no place: a place "No place given" stands in for it',
    found.noPlace,
  )
  assume(
    'splits',
    where,
    'precinct elements of the same ward, number and name are one operational precinct',
    found.merged,
  )
  assume(
    'splits apart',
    where,
    'splits of one precinct that vote at different places are one operational precinct for each place',
    found.apart,
  )
  assume(
    'same name',
    'precincts.csv name',
    'precincts of the same name with another ward or number are kept apart, and the number stands beside the name',
    found.sameName,
  )
  assume(
    'place of the locality',
    'precincts.csv place',
    'the precinct names no place; the only one of its locality is taken',
    found.localityPlace,
  )
  assume(
    'vote centers',
    where,
    `a place where the voters of several precincts may go, or that no precinct names, is a row of its own that serves everyone${found.served.length === 0 ? '' : `; ${found.served.length} precincts that are served so have no row (${found.served.slice(0, 3).join(', ')}${found.served.length > 3 ? ', …' : ''})`}`,
    found.centers,
  )
  assume(
    'vote centers that nothing names',
    where,
    'neither a precinct nor the locality names the place: it is taken for a vote center of this county',
    found.orphanCenters,
  )
}

function hoursListed(times: PlanHours, assume: Assume): void {
  const { hours } = times
  const where = 'plan.json hours'
  const span = `polls ${hours.open} to ${hours.close}`
  if (times.zoneHow !== null)
    assume('time zone', 'plan.json timeZone, or --zone', `${times.zone}: ${times.zoneHow}`)
  assume('hours', where, `${span}, as the places say; a plan has the hours that most have`, times.ofPlace)
  assume(
    'hours of the election',
    where,
    'the place gives none for that day: those of the election',
    times.ofElection,
  )
  assume(
    'hours not given',
    where,
    `neither place nor election gives hours that could be a polling place's: ${span}`,
    times.assumed,
  )
  assume('other hours', where, 'the feed gives other hours than the plan has for all', times.differ)
  const offset = utcOffset(times.offset)
  assume(
    'offset',
    where,
    `the hours carry another offset than the county's on that date (${offset}): the time is taken as it is written`,
    times.wall,
  )
  assume(
    'offset converted',
    where,
    `the hours carry another offset than the county's on that date (${offset}) and make no sense as written: they are converted`,
    times.converted,
  )
  assume('hours in parts', where, 'several spans of hours were joined into one', times.joined)
  assume('reporting hour', where, `${hours.report}: ${assumed.reportBefore} minutes before opening`)
  assume(
    'returns by',
    where,
    `${hours.returnBy}: ${assumed.returnAfter / 60} hours after closing, the same day`,
  )
}

function utcOffset(minutes: number): string {
  const size = Math.abs(minutes)
  return `${minutes < 0 ? '-' : '+'}${String(Math.floor(size / 60)).padStart(2, '0')}:${String(size % 60).padStart(2, '0')}`
}

/** Rows that share their place with another. */
function together(seats: ReadonlyArray<{ row: FeedRow; site: Site }>): string[] {
  const at = new Map<string, string[]>()
  for (const { row, site } of seats) {
    const names = at.get(site.key)
    if (names) names.push(row.name)
    else at.set(site.key, [row.name])
  }
  return [...at.values()].filter(names => names.length > 1).flat()
}
