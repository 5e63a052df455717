import { crc32, deflateRawSync } from 'node:zlib'

/** Small feeds of the VIP specification, written by code. Everything in them is invented. */

const escaped = (text: string) =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')

type Fields = Record<string, string | number | boolean | undefined>
const tags = (fields: Fields) =>
  Object.entries(fields)
    .filter(([, value]) => value !== undefined)
    .map(([name, value]) => `<${name}>${escaped(String(value))}</${name}>`)
    .join('')

/** An element with an id and simple children; `inner` is XML that is added as it stands. */
export const element = (name: string, id: string, fields: Fields = {}, inner = '') =>
  `<${name} id="${id}">${tags(fields)}${inner}</${name}>`

export const source = (vipId = '09') =>
  element('Source', 'src', { DateTime: '2026-10-01T08:00:00', Name: 'State of Ellery', VipId: vipId })

export const election = (date = '2026-11-03', more: Fields = {}, id = 'ele') =>
  element(
    'Election',
    id,
    { Date: date, StateId: 'st', HoursOpenId: 'hours', ...more },
    '<Name><Text language="es">Elección</Text><Text language="en">General election</Text></Name>',
  )

export const state = (letters = 'ct') =>
  element(
    'State',
    'st',
    { Name: 'Ellery' },
    `<ExternalIdentifiers><ExternalIdentifier><Type>ocd-id</Type><Value>ocd-division/country:us/state:${letters}</Value></ExternalIdentifier></ExternalIdentifiers>`,
  )

export const locality = (id = 'loc', name = 'Ellery County', more: Fields = {}, inner = '') =>
  element('Locality', id, { Name: name, StateId: 'st', Type: 'county', ...more }, inner)

export const precinct = (id: string, more: Fields = {}) =>
  element('Precinct', id, { LocalityId: 'loc', Name: `Precinct ${id}`, ...more })

/** A location at a position near Ellery's coast; `at: null` leaves the position out. */
export function location(
  id: string,
  more: Fields = {},
  at: readonly [number, number] | null = [41.4 + id.length / 1_000, -68.5],
): string {
  const position = at ? `<LatLng><Latitude>${at[0]}</Latitude><Longitude>${at[1]}</Longitude></LatLng>` : ''
  const lines = `<AddressLine>${id} Quay Street</AddressLine><AddressLine>Harbor, EL 01234</AddressLine>`
  return element('PollingLocation', id, { Name: `Hall ${id}`, ...more }, lines + position)
}

/** `spans` such as `['06:30:00-05:00', '19:30:00-05:00']`, on dates or on any. */
export function hours(id: string, spans: Array<[string, string]>, from?: string, to = from): string {
  const each = spans
    .map(([start, end]) => `<Hours>${tags({ StartTime: start, EndTime: end })}</Hours>`)
    .join('')
  return `<HoursOpen id="${id}"><Schedule>${each}${tags({ StartDate: from, EndDate: to })}</Schedule></HoursOpen>`
}

export const usualHours = (id = 'hours') => hours(id, [['06:30:00-05:00', '19:30:00-05:00']], '2026-11-03')

export const root = (elements: readonly string[], version = '5.2') =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<VipObject schemaVersion="${version}">\n${elements.join('\n')}\n</VipObject>\n`

/** Source, election, state, locality and hours, and what is added. */
export const feedOf = (elements: readonly string[], version?: string) =>
  root([source(), election(), state(), locality(), usualHours(), ...elements], version)

/** Three precincts: one of two splits, two in one place. */
export const smallElements = () => [
  source(),
  election(),
  state(),
  locality(),
  usualHours(),
  location('l1'),
  location('l22'),
  precinct('p1a', { Name: 'Harbor', Number: '001', PollingLocationIds: 'l1', PrecinctSplitName: 'A' }),
  precinct('p1b', { Name: 'HARBOR ', Number: '001', PollingLocationIds: 'l1', PrecinctSplitName: 'B' }),
  precinct('p2', { Name: 'Mill', Number: '002', PollingLocationIds: 'l22' }),
  precinct('p3', { Name: 'Gull Point', Number: '003', PollingLocationIds: 'l22' }),
]

/** A feed of many precincts, piece by piece: each with a place of its own and some streets, which are passed over. */
export function* wideFeed(precincts: number, streets = 2): Generator<string> {
  yield root([source(), election(), state(), locality(), usualHours()]).replace('</VipObject>\n', '')
  for (let i = 0; i < precincts; i++) {
    const number = String(i).padStart(4, '0')
    yield precinct(`p${i}`, { Name: `Ward ${number}`, Number: number, PollingLocationIds: `l${i}` })
    for (let k = 0; k < streets; k++)
      yield element('StreetSegment', `s${i}-${k}`, {
        City: 'Harbor',
        OddEvenBoth: 'both',
        PrecinctId: `p${i}`,
        StartHouseNumber: k * 100 + 1,
        EndHouseNumber: k * 100 + 99,
        State: 'EL',
        StreetName: `Quay ${k}`,
        Zip: '01234',
      })
    yield location(`l${i}`, {}, [41.4 + (i % 70) * 0.005, -68.5 - Math.floor(i / 70) * 0.005])
  }
  yield '</VipObject>\n'
}

export type ZipFile = {
  name: string
  bytes: Buffer
  /** What the zip says instead of the truth. */
  says?: { size?: number; crc?: number; encrypted?: true; method?: number }
}

/** A zip of deflated files, as APPNOTE.TXT 6.3 describes local headers, central directory and its end. */
export function aZip(files: readonly ZipFile[]): Buffer {
  const local: Buffer[] = []
  const central: Buffer[] = []
  let offset = 0
  for (const { name, bytes, says = {} } of files) {
    const packed = says.method === 0 ? bytes : deflateRawSync(bytes)
    const title = Buffer.from(name)
    const common = Buffer.alloc(26)
    common.writeUInt16LE(20, 0)
    common.writeUInt16LE((says.encrypted ? 1 : 0) | 0x800, 2)
    common.writeUInt16LE(says.method ?? 8, 4)
    common.writeUInt32LE(says.crc ?? crc32(bytes), 10)
    common.writeUInt32LE(packed.length, 14)
    common.writeUInt32LE(says.size ?? bytes.length, 18)
    common.writeUInt16LE(title.length, 22)
    local.push(Buffer.from('PK\x03\x04', 'latin1'), common, title, packed)
    const rest = Buffer.alloc(14)
    rest.writeUInt32LE(offset, 10)
    central.push(Buffer.from('PK\x01\x02\x14\x00', 'latin1'), common, rest, title)
    offset += 4 + common.length + title.length + packed.length
  }
  const list = Buffer.concat(central)
  const end = Buffer.alloc(18)
  end.writeUInt16LE(files.length, 4)
  end.writeUInt16LE(files.length, 6)
  end.writeUInt32LE(list.length, 8)
  end.writeUInt32LE(offset, 12)
  return Buffer.concat([...local, list, Buffer.from('PK\x05\x06', 'latin1'), end])
}
