import { normal } from './fromFeedCodes.ts'
import type { Feed, FeedElection, FeedLocality, FeedOptions } from './fromFeedShape.ts'

/** Which locality and which election of a feed a plan is made of. */

export type ChosenLocality = {
  locality: FeedLocality
  /** The feed has precincts and places of no other locality. */
  alone: boolean
  /** Localities that are not in the plan. */
  others: string[]
}

const LISTED = 40

export function chooseLocality(feed: Feed, wanted: string | null): ChosenLocality | { refusal: string } {
  const precinctsOf = new Map<string, number>()
  for (const { localityId } of feed.precincts)
    precinctsOf.set(localityId, (precinctsOf.get(localityId) ?? 0) + 1)
  const full = feed.localities.filter(l => precinctsOf.has(l.id) || l.locationIds.length > 0)
  const shown = (l: FeedLocality) =>
    `${l.name || l.id} (${l.type === '' ? '' : `${l.type}, `}${precinctsOf.get(l.id) ?? 0} precincts, id ${l.id})`
  const list = (localities: readonly FeedLocality[]) => {
    const names = localities.map(shown).sort()
    const more = names.length > LISTED ? ` and ${names.length - LISTED} more` : ''
    return `${names.slice(0, LISTED).join('; ')}${more}`
  }
  const chosen = (locality: FeedLocality): ChosenLocality => ({
    locality,
    alone: full.every(l => l === locality),
    others: feed.localities
      .filter(l => l !== locality)
      .map(shown)
      .sort(),
  })
  if (feed.localities.length === 0) return { refusal: 'the feed has no Locality: there is no county to plan' }
  if (wanted !== null) {
    const byId = feed.localities.find(l => l.id === wanted)
    const found = byId ? [byId] : feed.localities.filter(l => normal(l.name) === normal(wanted))
    if (found.length === 1) return chosen(found[0]!)
    return found.length === 0
      ? { refusal: `the feed has no locality "${wanted}"; it has ${list(feed.localities)}` }
      : { refusal: `several localities are called "${wanted}": choose by id; ${list(found)}` }
  }
  const only = full.length === 0 && feed.localities.length === 1 ? feed.localities : full
  if (only.length === 1) return chosen(only[0]!)
  return only.length === 0
    ? { refusal: 'no locality of the feed has a precinct or a place' }
    : {
        refusal: `the feed has ${only.length} localities: choose one with --locality NAME; ${list(only)}`,
      }
}

export type ChosenElection = {
  election: FeedElection | null
  /** Date of the plan, and the date that the feed's hours are read for. */
  date: string
  feedDate: string
}

export function chooseElection(
  feed: Feed,
  { date, kind }: Pick<FeedOptions, 'date' | 'kind'>,
): ChosenElection | { refusal: string } {
  const dated = feed.elections.filter(e => e.date !== '')
  const dates = [...new Set(dated.map(e => e.date))].sort()
  const of = (feedDate: string) => dated.find(e => e.date === feedDate) ?? null
  if (dates.length === 0) {
    return date === null
      ? { refusal: 'the feed gives no date of an election: give it with --date YYYY-MM-DD' }
      : { election: feed.elections[0] ?? null, date, feedDate: date }
  }
  if (date === null && dates.length === 1)
    return { election: of(dates[0]!), date: dates[0]!, feedDate: dates[0]! }
  if (date === null)
    return { refusal: `the feed has elections on ${dates.join(', ')}: choose one with --date YYYY-MM-DD` }
  if (dates.includes(date)) return { election: of(date), date, feedDate: date }
  if (dates.length > 1) return { refusal: `the feed has no election on ${date}; it has ${dates.join(', ')}` }
  if (kind === 'election')
    return {
      refusal: `the feed's election is on ${dates[0]}, not on ${date}: only a practice day may be on another date`,
    }
  return { election: of(dates[0]!), date, feedDate: dates[0]! }
}
