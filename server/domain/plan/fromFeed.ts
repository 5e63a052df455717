import type { PlanFiles } from './check.ts'
import { chooseElection, chooseLocality } from './fromFeedChoose.ts'
import { codesOf, keyOf } from './fromFeedCodes.ts'
import { countyHours } from './fromFeedCountyHours.ts'
import { listed } from './fromFeedListed.ts'
import { rowsOf } from './fromFeedRows.ts'
import type { Assumption, Feed, FeedLocation, FeedOptions, LeftOut } from './fromFeedShape.ts'
import { type Positions, positionsOf, type Site, sitesOf } from './fromFeedSites.ts'
import { type PlacedRow, tablesOf } from './fromFeedTables.ts'
import { phoneOf, plain } from './fromFeedText.ts'

/** A plan made of a feed, and all that had to be assumed for it. */
export type PlanFromFeed = {
  /** As a plan folder would be read: for checkPlan, and to be written. */
  files: PlanFiles
  /** What the feed is: its source, version, date and locality, for people. */
  about: string[]
  assumptions: Assumption[]
  leftOut: LeftOut[]
}

/** Said where no telephone number is known: nobody must ring an invented one. */
const NO_PHONE = 'not given'

/**
 * A plan folder of one locality of a feed. Whatever the feed doesn't say is filled in by stated rules and
 * listed; nothing of it depends on the order of elements or on ids. A refusal says what to do about it.
 */
export function planFromFeed(feed: Feed, options: FeedOptions): PlanFromFeed | { refusal: string } {
  const source = feed.sources.find(s => s.vipId !== '')
  if (!source)
    return { refusal: 'the feed has no Source with a VipId, of which codes that stay the same are made' }
  const vipIds = new Set(feed.sources.map(s => s.vipId))
  if (vipIds.size > 1)
    return { refusal: `the files are of several feeds (VipId ${[...vipIds].sort().join(', ')})` }
  const chosen = chooseLocality(feed, options.locality)
  if ('refusal' in chosen) return chosen
  const dated = chooseElection(feed, options)
  if ('refusal' in dated) return dated
  const { locality, alone } = chosen
  const { election, date, feedDate } = dated

  const scope = [source.vipId, locality.name]
  const hoursById = new Map(feed.hours.map(h => [h.id, h]))
  const sites = sitesOf(feed, scope, feedDate, hoursById)
  const found = rowsOf(feed, locality, scope, sites, alone)
  if (found.rows.length === 0)
    return {
      refusal: `${locality.name} has nothing to run on election day${found.leftOut.map(l => `; left out: ${l.names.length} ${l.what}`).join('')}`,
    }

  const own = feed.precincts.filter(p => alone || p.localityId === locality.id)
  const named = new Set([...own, locality].flatMap(owner => owner.locationIds))
  const ours = (locations: ReadonlyMap<string, FeedLocation>) =>
    [...locations.values()].filter(l => alone || named.has(l.id)).map(l => l.name || l.address || l.id)

  // A precinct without a place keeps its row: it gets a place of its own that says so.
  const seats = found.rows.map(row => {
    if (row.site !== null) return { row, site: sites.byKey.get(row.site)! }
    const site: Site = {
      key: keyOf(...scope, 'no place', row.key),
      name: `No place given: ${row.name}`,
      address: '',
      area: '',
      position: null,
      hoursIds: [],
    }
    return { row, site }
  })
  const used = [...new Map(seats.map(s => [s.site.key, s.site])).values()]
  const times = countyHours({
    feed,
    locality,
    date,
    feedDate,
    election,
    seats,
    zone: options.zone,
    hoursById,
  })
  if ('refusal' in times) return times
  const positions = positionsOf(used)
  const codes = codesOf(seats.map(({ row }) => row))
  const placeCodes = codesOf(used)

  const placed: PlacedRow[] = seats.map(({ row, site }) => ({
    code: codes.get(row.key)!,
    name: plain(row.name, 80) || 'Precinct without a name',
    place: placeCodes.get(site.key)!,
    isCenter: row.isCenter,
  }))
  const phone = phoneOf(feed.administrations.find(a => a.id === locality.administrationId)?.phones ?? [])
  const practice = options.kind === 'practice'
  const title = plain(election?.name ?? '', 60) || 'Election day'
  const files = tablesOf({
    json: {
      format: 1,
      county: plain(locality.name, 80) || 'County',
      name: practice ? `${title}, practice day` : title,
      kind: options.kind,
      date,
      timeZone: times.zone,
      hours: times.hours,
      officePhone: phone ?? NO_PHONE,
      policy: {},
    },
    rows: placed,
    served: found.served.length,
    places: used.map(site => placeRow(site, placeCodes.get(site.key)!, positions)),
  })
  return {
    files,
    about: [
      `feed of ${plain(source.name, 80) || 'an unnamed source'} (VipId ${plain(source.vipId, 20)}), specification ${feed.version}${source.dateTime === '' ? '' : `, made ${plain(source.dateTime, 30)}`}`,
      `${plain(locality.name, 80)}: ${found.rows.length} precincts of ${own.length} precinct elements, at ${used.length} places; ${feed.locations.length} locations in the feed`,
    ],
    assumptions: listed({
      found,
      times,
      positions,
      sites,
      used,
      placed,
      phone,
      options,
      date,
      feedDate,
      seats,
    }),
    leftOut: [
      ...found.leftOut,
      ...of('drop boxes', ours(sites.dropBoxes)),
      ...of('early-voting sites that are not open on election day', ours(sites.earlyOnly)),
      ...of('localities', chosen.others),
      ...of('references to places that the feed does not have', unresolved(feed, [...own, locality])),
    ].map(({ what, names }) => ({ what, names: names.map(n => plain(n, 120)) })),
  }
}

function of(what: string, names: string[]): LeftOut[] {
  return names.length === 0 ? [] : [{ what, names: names.sort() }]
}

function placeRow(site: Site, code: string, positions: Positions): string[] {
  const at = positions.at.get(site.key)!
  return [
    code,
    plain(site.name, 80) || 'Place without a name',
    plain(site.address, 160),
    at.latitude.toFixed(6),
    at.longitude.toFixed(6),
    '',
    plain(site.area, 60),
  ]
}

function unresolved(
  feed: Feed,
  owners: ReadonlyArray<{ name: string; locationIds: readonly string[] }>,
): string[] {
  const known = new Set(feed.locations.map(l => l.id))
  return owners.flatMap(o => o.locationIds.filter(id => !known.has(id)).map(id => `${o.name}: ${id}`))
}
