/**
 * What Sunup reads of a feed of the Voting Information Project specification, 5.x or 6 (the open standard's own
 * element names, one type an element). Everything else of a feed (contests, candidates, people, streets) is
 * passed over: no person of a feed ever comes into a plan.
 */
export type Feed = {
  /** `schemaVersion` of the root element, such as 5.2. */
  version: string
  sources: FeedSource[]
  elections: FeedElection[]
  states: FeedState[]
  localities: FeedLocality[]
  precincts: FeedPrecinct[]
  locations: FeedLocation[]
  hours: FeedHours[]
  administrations: FeedAdministration[]
}

type FeedSource = { id: string; vipId: string; name: string; dateTime: string }
export type FeedElection = {
  id: string
  /** YYYY-MM-DD; '' where the feed gives none that can be read. */
  date: string
  name: string
  hoursId: string
  stateId: string
}
export type Identifier = { type: string; value: string }
type FeedState = { id: string; name: string; identifiers: Identifier[]; locationIds: string[] }
export type FeedLocality = {
  id: string
  name: string
  type: string
  stateId: string
  administrationId: string
  identifiers: Identifier[]
  locationIds: string[]
}
export type FeedPrecinct = {
  id: string
  localityId: string
  name: string
  number: string
  ward: string
  split: string
  isMailOnly: boolean
  locationIds: string[]
}
export type FeedLocation = {
  id: string
  name: string
  address: string
  city: string
  hoursId: string
  isDropBox: boolean
  isEarlyVoting: boolean
  /** Degrees as the feed writes them; null where there is none or it is no number. */
  latitude: number | null
  longitude: number | null
}
export type FeedSchedule = {
  /** YYYY-MM-DD, both included; '' where the feed gives none. */
  from: string
  to: string
  hours: Array<{ start: string; end: string }>
}
export type FeedHours = { id: string; schedules: FeedSchedule[] }
type FeedAdministration = { id: string; phones: string[] }

/** What whoever imports a feed may say. */
export type FeedOptions = {
  kind: 'practice' | 'election'
  /** Name or id of the locality; null: the only one there is. */
  locality: string | null
  /** YYYY-MM-DD; null: the feed's own. */
  date: string | null
  /** IANA time zone; null: worked out. */
  zone: string | null
}

/** Something the feed doesn't say, or says in a way that had to be read one way or another. */
export type Assumption = {
  /** What it is about, in a word or two. */
  about: string
  /** What was assumed, and by which rule. */
  what: string
  /** File and column of the plan folder where it is changed. */
  where: string
  /** Precincts of the plan that it touches. */
  precincts: number
  /** Which ones, where it is not all of them. */
  names: string[]
}

/** Something of the feed that is not in the plan. */
export type LeftOut = { what: string; names: string[] }
