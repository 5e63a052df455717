import type { Feed, FeedSchedule, Identifier } from '../domain/plan/fromFeedShape.ts'
import type { Element } from './elements.ts'

/** Elements of the specification as records. Names of elements are the specification's (5.x and 6 are alike here). */

const all = (element: Element, name: string) => element.children.filter(c => c.name === name)
const first = (element: Element | undefined, name: string) => element?.children.find(c => c.name === name)
const text = (element: Element | undefined, name: string) => first(element, name)?.text.trim() ?? ''
const isTrue = (element: Element, name: string) => /^(true|1)$/.test(text(element, name))
const ids = (element: Element, name: string) =>
  text(element, name)
    .split(/\s+/)
    .filter(id => id !== '')

/** A text in several languages: the English one, else the first. */
function inEnglish(element: Element, name: string): string {
  const texts = all(element, name).flatMap(e => all(e, 'Text'))
  return (texts.find(t => /^en\b/i.test(t.language)) ?? texts[0])?.text.trim() ?? ''
}

/** xs:date without its zone, if it is a date of the calendar; else ''. */
function date(value: string): string {
  const found = /^(\d{4}-\d\d-\d\d)(Z|[+-]\d\d:\d\d)?$/.exec(value)?.[1]
  if (!found) return ''
  const at = Date.parse(`${found}T00:00:00Z`)
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(found) ? found : ''
}

function degrees(value: string): number | null {
  return /^[+-]?\d{1,3}(\.\d+)?$/.test(value) ? Number(value) : null
}

function identifiers(element: Element): Identifier[] {
  return all(element, 'ExternalIdentifiers')
    .flatMap(e => all(e, 'ExternalIdentifier'))
    .map(e => ({ type: text(e, 'Type'), value: text(e, 'Value') }))
}

/** Address and town: structured, or the lines, the last of which is usually `Town, ST 12345`. */
function address(element: Element): { address: string; city: string } {
  const structured = first(element, 'AddressStructured')
  if (structured) {
    const lines = ['Line1', 'Line2', 'Line3'].map(l => text(structured, l)).filter(l => l !== '')
    const city = text(structured, 'City')
    const state = [text(structured, 'State'), text(structured, 'Zip')].filter(p => p !== '').join(' ')
    return { address: [...lines, city, state].filter(p => p !== '').join(', '), city }
  }
  const lines = all(element, 'AddressLine')
    .map(l => l.text.trim())
    .filter(l => l !== '')
  const city = /^([^,]{1,60}),?\s+[A-Z]{2}(\s+\d{5}[\d-]*)?$/.exec(lines.at(-1) ?? '')?.[1] ?? ''
  return { address: lines.join(', '), city }
}

type Records = { [K in keyof Omit<Feed, 'version'>]: Feed[K][number] }
type Reader = { [K in keyof Records]: (element: Element) => Records[K] }

const read: Reader = {
  sources: e => ({ id: e.id, vipId: text(e, 'VipId'), name: text(e, 'Name'), dateTime: text(e, 'DateTime') }),
  elections: e => ({
    id: e.id,
    date: date(text(e, 'Date')),
    name: inEnglish(e, 'Name') || inEnglish(e, 'ElectionType'),
    hoursId: text(e, 'HoursOpenId'),
    stateId: text(e, 'StateId'),
  }),
  states: e => ({
    id: e.id,
    name: text(e, 'Name'),
    identifiers: identifiers(e),
    locationIds: ids(e, 'PollingLocationIds'),
  }),
  localities: e => ({
    id: e.id,
    name: text(e, 'Name'),
    type: text(e, 'OtherType') || text(e, 'Type'),
    stateId: text(e, 'StateId'),
    administrationId: text(e, 'ElectionAdministrationId'),
    identifiers: identifiers(e),
    locationIds: ids(e, 'PollingLocationIds'),
  }),
  precincts: e => ({
    id: e.id,
    localityId: text(e, 'LocalityId'),
    name: text(e, 'Name'),
    number: text(e, 'Number'),
    ward: text(e, 'Ward'),
    split: text(e, 'PrecinctSplitName'),
    isMailOnly: isTrue(e, 'IsMailOnly'),
    locationIds: ids(e, 'PollingLocationIds'),
  }),
  locations: e => {
    const at = first(e, 'LatLng')
    return {
      id: e.id,
      name: text(e, 'Name'),
      ...address(e),
      hoursId: text(e, 'HoursOpenId'),
      isDropBox: isTrue(e, 'IsDropBox'),
      isEarlyVoting: isTrue(e, 'IsEarlyVoting'),
      latitude: degrees(text(at, 'Latitude')),
      longitude: degrees(text(at, 'Longitude')),
    }
  },
  hours: e => ({ id: e.id, schedules: all(e, 'Schedule').map(schedule) }),
  // Telephones of departments only: what is under a person is that person's.
  administrations: e => ({
    id: e.id,
    phones: all(e, 'Department')
      .flatMap(d => all(d, 'ContactInformation'))
      .flatMap(c => all(c, 'Phone'))
      .map(p => p.text.trim()),
  }),
}

function schedule(e: Element): FeedSchedule {
  return {
    from: date(text(e, 'StartDate')),
    to: date(text(e, 'EndDate')),
    hours: all(e, 'Hours').map(h => ({ start: text(h, 'StartTime'), end: text(h, 'EndTime') })),
  }
}

const listOf: Record<string, keyof Records> = {
  Source: 'sources',
  Election: 'elections',
  State: 'states',
  Locality: 'localities',
  Precinct: 'precincts',
  PollingLocation: 'locations',
  HoursOpen: 'hours',
  ElectionAdministration: 'administrations',
}

export const wantedElements: ReadonlySet<string> = new Set(Object.keys(listOf))

/** Gathers records into one feed. The same id with the same content, as several files of one feed have it, is one. */
export function gathering(): { feed: Feed; add: (element: Element) => string | null } {
  const feed: Feed = {
    version: '',
    sources: [],
    elections: [],
    states: [],
    localities: [],
    precincts: [],
    locations: [],
    hours: [],
    administrations: [],
  }
  const seen = new Map<string, { list: keyof Records; record: unknown }>()
  return {
    feed,
    add(element) {
      const list = listOf[element.name]!
      if (element.id === '') return `${element.name} without an id`
      const record = read[list](element)
      const known = seen.get(element.id)
      if (known) {
        const same = known.list === list && JSON.stringify(known.record) === JSON.stringify(record)
        return same ? null : `the id ${element.id.slice(0, 60)} stands a second time, for something else`
      }
      seen.set(element.id, { list, record })
      ;(feed[list] as unknown[]).push(record)
      return null
    },
  }
}
