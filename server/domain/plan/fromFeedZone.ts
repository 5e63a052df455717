import type { Feed, FeedLocality } from './fromFeedShape.ts'
import { instantOf } from './zone.ts'

/**
 * States by FIPS code (ANSI INCITS 38) and postal letters, with the IANA zone of most of their people and the
 * others that are in use there (from memory of the zone database; the assumption is listed, `--zone` decides).
 */
const states: ReadonlyArray<readonly [fips: string, letters: string, zone: string, ...others: string[]]> = [
  ['01', 'al', 'America/Chicago'],
  ['02', 'ak', 'America/Anchorage', 'America/Adak'],
  ['04', 'az', 'America/Phoenix', 'America/Denver'],
  ['05', 'ar', 'America/Chicago'],
  ['06', 'ca', 'America/Los_Angeles'],
  ['08', 'co', 'America/Denver'],
  ['09', 'ct', 'America/New_York'],
  ['10', 'de', 'America/New_York'],
  ['11', 'dc', 'America/New_York'],
  ['12', 'fl', 'America/New_York', 'America/Chicago'],
  ['13', 'ga', 'America/New_York'],
  ['15', 'hi', 'Pacific/Honolulu'],
  ['16', 'id', 'America/Boise', 'America/Los_Angeles'],
  ['17', 'il', 'America/Chicago'],
  ['18', 'in', 'America/Indiana/Indianapolis', 'America/Chicago'],
  ['19', 'ia', 'America/Chicago'],
  ['20', 'ks', 'America/Chicago', 'America/Denver'],
  ['21', 'ky', 'America/New_York', 'America/Chicago'],
  ['22', 'la', 'America/Chicago'],
  ['23', 'me', 'America/New_York'],
  ['24', 'md', 'America/New_York'],
  ['25', 'ma', 'America/New_York'],
  ['26', 'mi', 'America/Detroit', 'America/Menominee'],
  ['27', 'mn', 'America/Chicago'],
  ['28', 'ms', 'America/Chicago'],
  ['29', 'mo', 'America/Chicago'],
  ['30', 'mt', 'America/Denver'],
  ['31', 'ne', 'America/Chicago', 'America/Denver'],
  ['32', 'nv', 'America/Los_Angeles', 'America/Denver'],
  ['33', 'nh', 'America/New_York'],
  ['34', 'nj', 'America/New_York'],
  ['35', 'nm', 'America/Denver'],
  ['36', 'ny', 'America/New_York'],
  ['37', 'nc', 'America/New_York'],
  ['38', 'nd', 'America/Chicago', 'America/Denver'],
  ['39', 'oh', 'America/New_York'],
  ['40', 'ok', 'America/Chicago'],
  ['41', 'or', 'America/Los_Angeles', 'America/Boise'],
  ['42', 'pa', 'America/New_York'],
  ['44', 'ri', 'America/New_York'],
  ['45', 'sc', 'America/New_York'],
  ['46', 'sd', 'America/Chicago', 'America/Denver'],
  ['47', 'tn', 'America/Chicago', 'America/New_York'],
  ['48', 'tx', 'America/Chicago', 'America/Denver'],
  ['49', 'ut', 'America/Denver'],
  ['50', 'vt', 'America/New_York'],
  ['51', 'va', 'America/New_York'],
  ['53', 'wa', 'America/Los_Angeles'],
  ['54', 'wv', 'America/New_York'],
  ['55', 'wi', 'America/Chicago'],
  ['56', 'wy', 'America/Denver'],
  ['60', 'as', 'Pacific/Pago_Pago'],
  ['66', 'gu', 'Pacific/Guam'],
  ['69', 'mp', 'Pacific/Guam'],
  ['72', 'pr', 'America/Puerto_Rico'],
  ['78', 'vi', 'America/St_Thomas'],
]

/** Tried in this order where nothing but an offset is known. */
const byOffset = [
  'America/New_York',
  'America/Chicago',
  'America/Denver',
  'America/Los_Angeles',
  'America/Anchorage',
  'Pacific/Honolulu',
]

/** Minutes that a zone's wall clock is ahead of UTC at noon of a local date. */
export function offsetOn(date: string, zone: string): number {
  return Math.round((Date.parse(`${date}T12:00:00Z`) - instantOf(date, '12:00', zone)) / 60_000)
}

export type WorkedOut = { zone: string; how: string }

/**
 * The locality's time zone: of its state (by Open Civic Data id or FIPS code of locality or state, else by a
 * two-digit VipId). Where a state has several, the offset that the feed's hours carry decides if it fits one
 * alone. Without a known state, the first usual zone with that offset. null: it can't be worked out.
 */
export function zoneOf(
  feed: Feed,
  locality: FeedLocality,
  date: string,
  /** Offsets of the hours in minutes, the most frequent first. */
  offsets: readonly number[],
): WorkedOut | null {
  const state = stateOf(feed, locality)
  if (state) {
    const [, letters, main, ...others] = state.row
    const known = `the state is ${letters.toUpperCase()} by ${state.by}`
    const fits = (zone: string) => offsets.includes(offsetOn(date, zone))
    const fitting = others.filter(fits)
    if (offsets.length > 0 && !fits(main) && fitting.length === 1)
      return {
        zone: fitting[0]!,
        how: `${known}, which has several zones; the offset of the hours fits this one`,
      }
    return {
      zone: main,
      how: others.length === 0 ? known : `${known}, which has several zones; most of its people live in this`,
    }
  }
  const offset = offsets[0]
  const zone = byOffset.find(z => offset !== undefined && offsetOn(date, z) === offset)
  return zone ? { zone, how: 'the state is not known; the hours carry this offset' } : null
}

function stateOf(feed: Feed, locality: FeedLocality) {
  const state = feed.states.find(s => s.id === locality.stateId) ?? feed.states[0]
  for (const { type, value } of [...locality.identifiers, ...(state?.identifiers ?? [])]) {
    const letters = /ocd-division\/country:us\/(?:state|district|territory):([a-z]{2})\b/.exec(value)?.[1]
    const row = states.find(
      ([fips, l]) => l === letters || (type.toLowerCase() === 'fips' && value.slice(0, 2) === fips),
    )
    if (row) return { row, by: letters ? 'its Open Civic Data id' : 'its FIPS code' }
  }
  const vipId = feed.sources[0]?.vipId ?? ''
  const row = states.find(([fips]) => fips === vipId)
  return row ? { row, by: 'the VipId' } : null
}
