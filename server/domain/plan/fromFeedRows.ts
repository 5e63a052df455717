import { keyOf, normal } from './fromFeedCodes.ts'
import type { Feed, FeedLocality, FeedPrecinct, LeftOut } from './fromFeedShape.ts'
import type { Sites } from './fromFeedSites.ts'

/** A row of the board to be: one team of workers, one opening, one count, one return. */
export type FeedRow = {
  key: string
  name: string
  /** Its place; null: the feed gives none. */
  site: string | null
  /** A vote center serves everyone and has no registered voters of its own. */
  isCenter: boolean
}

export type Rows = {
  rows: FeedRow[]
  leftOut: LeftOut[]
  /** Names of rows that came about in a way to be confirmed. */
  merged: string[]
  apart: string[]
  sameName: string[]
  localityPlace: string[]
  noPlace: string[]
  centers: string[]
  orphanCenters: string[]
  /** Precincts whose voters go to the vote centers: they have no row of their own. */
  served: string[]
}

/**
 * The operational precincts of a locality.
 *
 * - Precinct elements with the same ward, number and name (however spelt) are one: splits differ in their
 *   ballots only. Splits at different places are one for each place.
 * - A precinct whose element names several election-day places is served by vote centers: each of these places
 *   is a row, the precinct is none.
 * - A precinct that names no place hangs on its locality's: on the only one, or on all of them as vote centers.
 * - Places of the locality at which no precinct sits are vote centers; so are places that nothing names, if the
 *   feed has only this locality.
 * - A precinct of mail voters, or with nothing but early sites and drop boxes, is left out.
 */
export function rowsOf(
  feed: Feed,
  locality: FeedLocality,
  scope: readonly string[],
  sites: Sites,
  alone: boolean,
): Rows {
  const out: Rows = {
    rows: [],
    leftOut: [],
    merged: [],
    apart: [],
    sameName: [],
    localityPlace: [],
    noPlace: [],
    centers: [],
    orphanCenters: [],
    served: [],
  }
  const left = new Map<string, string[]>()
  const leave = (what: string, name: string) => {
    const names = left.get(what)
    if (names) names.push(name)
    else left.set(what, [name])
  }
  const groups = grouped(feed, locality, scope, alone, leave)
  const namesOf = new Map<string, number>()
  for (const [first] of groups.values())
    namesOf.set(normal(first!.name), (namesOf.get(normal(first!.name)) ?? 0) + 1)

  const siteKeys = (ids: readonly string[]) => [
    ...new Set(ids.flatMap(id => (sites.keyOf.has(id) ? [sites.keyOf.get(id)!] : []))),
  ]
  const ofLocality = siteKeys(locality.locationIds)
  const centers = new Set<string>()
  const seated = new Set<string>()

  for (const [key, elements] of groups) {
    const first = elements[0]!
    const shared = (namesOf.get(normal(first.name)) ?? 0) > 1
    const suffix = [first.ward && `ward ${first.ward}`, first.number].filter(part => part !== '').join(', ')
    const name = named(first, shared ? suffix : '')
    const live = elements.filter(e => !e.isMailOnly)
    if (live.length === 0) {
      leave('precincts of mail voters', name)
      continue
    }
    const seat = (site: string | null, rowName = name, rowKey = key) => {
      out.rows.push({ key: rowKey, name: rowName, site, isCenter: false })
      if (site !== null) seated.add(site)
      if (elements.length > 1) out.merged.push(rowName)
      if (shared) out.sameName.push(rowName)
    }
    const places = live.map(e => siteKeys(e.locationIds))
    const all = [...new Set(places.flat())].sort()
    if (places.some(p => p.length > 1)) {
      for (const site of all) centers.add(site)
      out.served.push(name)
    } else if (all.length === 1) seat(all[0]!)
    else if (all.length > 1)
      for (const site of all) {
        const rowName = `${name} (${sites.byKey.get(site)!.name})`
        seat(site, rowName, `${key}\n${site}`)
        out.apart.push(rowName)
      }
    else if (ofLocality.length === 1) {
      seat(ofLocality[0]!)
      out.localityPlace.push(name)
    } else if (ofLocality.length > 1) out.served.push(name)
    else if (live.some(e => e.locationIds.some(id => sites.earlyOnly.has(id) || sites.dropBoxes.has(id))))
      leave('precincts that name nothing but early-voting sites and drop boxes', name)
    else {
      seat(null)
      out.noPlace.push(name)
    }
  }
  for (const site of ofLocality) if (!seated.has(site)) centers.add(site)
  for (const site of orphans(feed, sites)) {
    if (!alone) leave('election-day places that no precinct or locality names', sites.byKey.get(site)!.name)
    else if (!seated.has(site) && !centers.has(site)) {
      centers.add(site)
      out.orphanCenters.push(sites.byKey.get(site)!.name)
    }
  }
  for (const site of [...centers].sort()) {
    const name = sites.byKey.get(site)!.name
    const taken = out.rows.some(r => r.name === name)
    const row = taken ? `${name} (vote center)` : name
    out.rows.push({ key: keyOf(...scope, 'vote center', site), name: row, site, isCenter: true })
    out.centers.push(row)
  }
  out.rows.sort(inOrder)
  out.leftOut = [...left].map(([what, names]) => ({ what, names: names.sort(byText) }))
  const { rows, leftOut, ...lists } = out
  for (const names of Object.values(lists)) names.sort(byText)
  return out
}

const byText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)

/** Precincts by name, with numbers in them counted as numbers, then vote centers. */
function inOrder(a: FeedRow, b: FeedRow): number {
  if (a.isCenter !== b.isCenter) return a.isCenter ? 1 : -1
  const [x, y] = [a, b].map(r => normal(r.name).replace(/\d+/g, n => n.padStart(8, '0')))
  return byText(x!, y!) || byText(a.key, b.key)
}

function named(precinct: FeedPrecinct, suffix: string): string {
  const name = precinct.name || precinct.number || 'Precinct without a name'
  return suffix === '' || suffix === name ? name : `${name} (${suffix})`
}

/** The locality's precinct elements by ward, number and name, each group in the order of its ids. */
function grouped(
  feed: Feed,
  locality: FeedLocality,
  scope: readonly string[],
  alone: boolean,
  leave: (what: string, name: string) => void,
): Map<string, FeedPrecinct[]> {
  const known = new Set(feed.localities.map(l => l.id))
  const groups = new Map<string, FeedPrecinct[]>()
  const sorted = [...feed.precincts].sort((a, b) => byText(a.id, b.id))
  for (const precinct of sorted) {
    const stray = !known.has(precinct.localityId)
    if (stray && !alone) leave('precincts of a locality that the feed does not have', named(precinct, ''))
    if (precinct.localityId !== locality.id && !(stray && alone)) continue
    const key = keyOf(...scope, 'precinct', precinct.ward, precinct.name, precinct.number)
    const group = groups.get(key)
    if (group) group.push(precinct)
    else groups.set(key, [precinct])
  }
  return groups
}

/** Election-day places that no precinct, locality or state of the feed names. */
function orphans(feed: Feed, sites: Sites): string[] {
  const namedIds = new Set(
    [...feed.precincts, ...feed.localities, ...feed.states].flatMap(owner => owner.locationIds),
  )
  const namedSites = new Set([...namedIds].map(id => sites.keyOf.get(id)))
  return [...sites.byKey.keys()].filter(key => !namedSites.has(key)).sort()
}
