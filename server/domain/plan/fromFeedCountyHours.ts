import { hoursOn, later, offsetsOn, type ReadHours } from './fromFeedHours.ts'
import { assumed } from './fromFeedNumbers.ts'
import type { FeedRow } from './fromFeedRows.ts'
import type { Feed, FeedElection, FeedHours, FeedLocality } from './fromFeedShape.ts'
import type { Site } from './fromFeedSites.ts'
import { offsetOn, zoneOf } from './fromFeedZone.ts'

/** A plan has one set of hours and one time zone for the county: worked out of what its places and the election say. */

export type PlanHours = {
  zone: string
  /** How the zone came about; null: it was given. */
  zoneHow: string | null
  hours: { report: string; open: string; close: string; returnBy: string }
  /** Names of rows by where their hours come from, and what is odd about them. */
  ofPlace: string[]
  ofElection: string[]
  assumed: string[]
  /** Rows whose own hours are others than the county's, as `name: 07:00 to 19:00`. */
  differ: string[]
  wall: string[]
  converted: string[]
  joined: string[]
  /** The county's offset on the feed's date in minutes. */
  offset: number
}

/** Where nothing says otherwise: polls from 7:00 to 19:00, a middle of what states have (our assumption). */
const USUAL = { open: '07:00', close: '19:00' } as const

export function countyHours(given: {
  feed: Feed
  locality: FeedLocality
  date: string
  feedDate: string
  election: FeedElection | null
  seats: ReadonlyArray<{ row: FeedRow; site: Site }>
  zone: string | null
  hoursById: ReadonlyMap<string, FeedHours>
}): PlanHours | { refusal: string } {
  const { feed, locality, feedDate, election, seats, hoursById } = given
  const ofElection = election ? hoursById.get(election.hoursId) : undefined
  const ofSite = (site: Site) =>
    [...site.hoursIds].sort().flatMap(id => (hoursById.has(id) ? [hoursById.get(id)!] : []))

  const offsets = byFrequency(
    [...seats.flatMap(({ site }) => ofSite(site)), ...(ofElection ? [ofElection] : [])].flatMap(h =>
      offsetsOn(h, feedDate),
    ),
  )
  const worked = given.zone === null ? zoneOf(feed, locality, feedDate, offsets) : null
  const zone = given.zone ?? worked?.zone
  if (zone === undefined)
    return {
      refusal: `the time zone of ${locality.name} can't be worked out of the feed: give it with --zone, such as America/New_York`,
    }
  const offset = offsetOn(feedDate, zone)
  const read = new Map<FeedHours, ReadHours | null>()
  const reading = (hours: FeedHours): ReadHours | null => {
    if (!read.has(hours)) read.set(hours, hoursOn(hours, feedDate, offset))
    return read.get(hours)!
  }
  const out: PlanHours = {
    zone,
    zoneHow: worked?.how ?? null,
    hours: { report: '', open: '', close: '', returnBy: '' },
    ofPlace: [],
    ofElection: [],
    assumed: [],
    differ: [],
    wall: [],
    converted: [],
    joined: [],
    offset,
  }
  const each = seats.map(({ row, site }) => {
    const own = ofSite(site)
      .map(reading)
      .find(h => h !== null)
    const hours = own ?? (ofElection ? reading(ofElection) : null)
    if (own) out.ofPlace.push(row.name)
    else if (hours) out.ofElection.push(row.name)
    else out.assumed.push(row.name)
    if (hours?.wrongOffset) out[hours.wrongOffset].push(row.name)
    if (hours?.joined) out.joined.push(row.name)
    return { name: row.name, hours }
  })
  const most = byFrequency(each.flatMap(({ hours }) => (hours ? [`${hours.open} ${hours.close}`] : [])))[0]
  const [open = USUAL.open, close = USUAL.close] = most?.split(' ') ?? []
  for (const { name, hours } of each)
    if (hours && (hours.open !== open || hours.close !== close))
      out.differ.push(`${name}: ${hours.open} to ${hours.close}`)
  out.hours = {
    report: later(open, -assumed.reportBefore),
    open,
    close,
    returnBy: later(close, assumed.returnAfter),
  }
  return out
}

/** Distinct values, the most frequent first; of equally frequent ones the smaller. */
function byFrequency<T extends string | number>(values: readonly T[]): T[] {
  const counts = new Map<T, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  return [...counts].sort(([a, m], [b, n]) => n - m || (a < b ? -1 : 1)).map(([value]) => value)
}
