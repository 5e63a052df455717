import { keyOf } from './fromFeedCodes.ts'
import { namesDate } from './fromFeedHours.ts'
import type { Feed, FeedHours, FeedLocation } from './fromFeedShape.ts'

/** Where people vote on election day: the feed's locations without drop boxes and early sites, each place once. */
export type Site = {
  key: string
  name: string
  address: string
  area: string
  /** Degrees; null: the feed gives none. */
  position: { latitude: number; longitude: number } | null
  /** Hours elements of its locations; they are the same place, so usually one. */
  hoursIds: string[]
}

export type Sites = {
  byKey: Map<string, Site>
  /** Key of an election-day location's site. */
  keyOf: Map<string, string>
  /** Locations that are no election-day place, by id. */
  dropBoxes: Map<string, FeedLocation>
  earlyOnly: Map<string, FeedLocation>
  /** Early sites whose hours name election day too: they stay. */
  earlyAndDay: Set<string>
}

/**
 * Splits the locations. An early-voting site is left out unless its dated hours include election day. Locations
 * with the same name and address, however spelt, are one place, with the first position that is given in the
 * order of their ids.
 */
export function sitesOf(
  feed: Feed,
  scope: readonly string[],
  date: string,
  hours: ReadonlyMap<string, FeedHours>,
): Sites {
  const sites: Sites = {
    byKey: new Map(),
    keyOf: new Map(),
    dropBoxes: new Map(),
    earlyOnly: new Map(),
    earlyAndDay: new Set(),
  }
  const sorted = [...feed.locations].sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0))
  for (const location of sorted) {
    if (location.isDropBox) {
      sites.dropBoxes.set(location.id, location)
      continue
    }
    const onTheDay = namesDate(hours.get(location.hoursId), date)
    if (location.isEarlyVoting && !onTheDay) {
      sites.earlyOnly.set(location.id, location)
      continue
    }
    const called = location.name + location.address
    const key = keyOf(...scope, 'place', location.name, location.address, called === '' ? location.id : '')
    const known = sites.byKey.get(key)
    if (location.isEarlyVoting) sites.earlyAndDay.add(key)
    sites.keyOf.set(location.id, key)
    const position = positionOf(location)
    if (known) {
      known.position ??= position
      if (location.hoursId !== '') known.hoursIds.push(location.hoursId)
      continue
    }
    sites.byKey.set(key, {
      key,
      name: location.name || location.address || 'Place without a name',
      address: location.address,
      area: location.city,
      position,
      hoursIds: location.hoursId === '' ? [] : [location.hoursId],
    })
  }
  return sites
}

/** A position that can be one: in range, and not the 0, 0 that stands for nothing known. */
function positionOf({ latitude, longitude }: FeedLocation): Site['position'] {
  if (latitude === null || longitude === null) return null
  if (Math.abs(latitude) > 90 || Math.abs(longitude) > 180 || (latitude === 0 && longitude === 0)) return null
  return { latitude, longitude }
}

const EARTH_KM = 6371.0088

/** Great-circle distance in kilometres (haversine). */
function distance(a: NonNullable<Site['position']>, b: NonNullable<Site['position']>): number {
  const rad = Math.PI / 180
  const lat = (b.latitude - a.latitude) * rad
  const lon = (b.longitude - a.longitude) * rad
  const h =
    Math.sin(lat / 2) ** 2 + Math.cos(a.latitude * rad) * Math.cos(b.latitude * rad) * Math.sin(lon / 2) ** 2
  return 2 * EARTH_KM * Math.asin(Math.min(1, Math.sqrt(h)))
}

const median = (numbers: number[]) => {
  const sorted = [...numbers].sort((a, b) => a - b)
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? 0
}

/** Farther from the county's middle than this, and five times as far as half of its places: not believed (our assumption). */
const FAR_KM = 150
const FAR_TIMES = 5

export type Positions = {
  at: Map<string, { latitude: number; longitude: number }>
  /** Keys of places that were put in the middle: no position given, or one that is not believed. */
  missing: string[]
  far: Array<{ key: string; km: number; latitude: number; longitude: number }>
  /** No place has a position: all are at 0, 0. */
  none: boolean
}

/** A position for every place: its own if it is believed, else the middle (the medians) of all that are given. */
export function positionsOf(sites: readonly Site[]): Positions {
  const given = sites.flatMap(s => (s.position ? [s.position] : []))
  const middle = {
    latitude: median(given.map(p => p.latitude)),
    longitude: median(given.map(p => p.longitude)),
  }
  const usual = median(given.map(p => distance(p, middle)))
  const positions: Positions = { at: new Map(), missing: [], far: [], none: given.length === 0 }
  for (const { key, position } of sites) {
    const km = position ? distance(position, middle) : 0
    if (position && km > FAR_KM && km > FAR_TIMES * usual)
      positions.far.push({ key, km: Math.round(km), ...position })
    else if (!position) positions.missing.push(key)
    else {
      positions.at.set(key, position)
      continue
    }
    positions.at.set(key, middle)
  }
  return positions
}
