import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, describe, expect, it } from 'vitest'
import { limits } from '../../server/vip/limits.ts'
import { type FeedRead, readFeed, readFeedStream } from '../../server/vip/readFeed.ts'
import {
  aZip,
  election,
  element,
  feedOf,
  location,
  precinct,
  root,
  smallElements,
  source,
  type ZipFile,
} from '../support/aFeed.ts'

const folder = mkdtempSync(join(tmpdir(), 'vip-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

let files = 0
const kept = (bytes: string | Buffer, name = 'feed.xml') => {
  const path = join(folder, `${++files}-${name}`)
  writeFileSync(path, bytes)
  return path
}
const read = (bytes: string | Buffer, name?: string) => readFeed(kept(bytes, name))
const refusalOf = (outcome: FeedRead) => ('refusal' in outcome ? outcome.refusal : 'it was read')
const refusal = async (bytes: string | Buffer, name?: string) => refusalOf(await read(bytes, name))
const feed = async (bytes: string | Buffer, name?: string) => {
  const outcome = await read(bytes, name)
  if ('refusal' in outcome) throw new Error(outcome.refusal)
  return outcome.feed
}
const zipped = (...entries: ZipFile[]) => aZip(entries)
const xmlFile = (text: string, says?: ZipFile['says']): ZipFile => ({
  name: 'feed.xml',
  bytes: Buffer.from(text),
  ...(says ? { says } : {}),
})

/** Pieces of 64 KB of one text, and how many were asked for. */
function endless(start: string, piece: string, times: number, counts = { pieces: 0 }) {
  const chunk = Buffer.from(piece.repeat(Math.ceil(65_536 / piece.length)))
  async function* bytes(): AsyncGenerator<Uint8Array> {
    yield Buffer.from(start)
    for (let i = 0; i < times; i++) {
      counts.pieces++
      yield chunk
    }
  }
  return { bytes: bytes(), counts }
}

describe('a feed', () => {
  it('is read in any order of its elements, in versions 5.x and 6', async () => {
    const elements = smallElements()
    const sorted = (f: Awaited<ReturnType<typeof feed>>) =>
      Object.fromEntries(
        Object.entries(f).map(([k, v]) => [k, Array.isArray(v) ? v.map(r => JSON.stringify(r)).sort() : '']),
      )
    const first = sorted(await feed(root(elements)))
    expect(first.precincts).toHaveLength(4)
    for (const version of ['5.0', '5.1.2', '6', '6.0'])
      expect(sorted(await feed(root([...elements].reverse(), version)))).toEqual(first)
  })

  it('gives names in English, structured addresses, entities, CDATA and characters of any plane', async () => {
    const structured =
      '<PollingLocation id="s"><AddressStructured><Line1>1 Quay</Line1><City>Harbor</City><State>EL</State><Zip>01234</Zip></AddressStructured><Name>A &amp; B <![CDATA[<Hall>]]> &#x1F305; é</Name></PollingLocation>'
    const got = await feed(feedOf([structured, location('l1')]))
    expect(got.locations[0]).toMatchObject({
      name: 'A & B <Hall> 🌅 é',
      address: '1 Quay, Harbor, EL 01234',
      city: 'Harbor',
    })
    expect(got.locations[1]).toMatchObject({ address: 'l1 Quay Street, Harbor, EL 01234', city: 'Harbor' })
    expect(got.elections[0]!.name).toBe('General election')
  })

  it('keeps no person: names and telephones of officials are passed over', async () => {
    const person = element(
      'Person',
      'per',
      { FirstName: 'Ada', LastName: 'Nobody' },
      '<ContactInformation><Phone>555-0123</Phone></ContactInformation>',
    )
    expect(JSON.stringify(await feed(feedOf([person])))).not.toMatch(/Ada|Nobody|555-0123/)
  })

  it('may come in pieces that cut characters and marks anywhere', async () => {
    const bytes = Buffer.from(feedOf([precinct('p', { Name: 'Ærøskøbing & 🌅' })]))
    for (const size of [1, 3, 7]) {
      async function* pieces(): AsyncGenerator<Uint8Array> {
        for (let i = 0; i < bytes.length; i += size) yield bytes.subarray(i, i + size)
      }
      const got = await readFeedStream('pieces', pieces())
      expect('feed' in got && got.feed.precincts[0]!.name).toBe('Ærøskøbing & 🌅')
    }
  })

  it('may be a zip of several files, whose references reach from one to another', async () => {
    const got = await read(
      zipped(
        { name: 'a.xml', bytes: Buffer.from(feedOf([precinct('p', { PollingLocationIds: 'l1' })])) },
        { name: 'b/c.XML', bytes: Buffer.from(root([source(), location('l1')])) },
        { name: 'readme.txt', bytes: Buffer.from('hello') },
        { name: 'more.zip', bytes: zipped(xmlFile(feedOf([]))) },
        { name: '__MACOSX/._a.xml', bytes: Buffer.from('junk') },
      ),
      'feed.zip',
    )
    if ('refusal' in got) throw new Error(got.refusal)
    expect([got.feed.precincts.length, got.feed.locations.length, got.feed.sources.length]).toEqual([1, 1, 1])
    expect(got.passedOver).toEqual(['readme.txt', 'more.zip', '__MACOSX/._a.xml'])
  })
})

describe('what is no feed is refused by a message that says what and where', () => {
  const whole = feedOf(smallElements().slice(5))
  const cases: Array<[string, () => string | Buffer, RegExp]> = [
    ['an empty file', () => '', /line 1, column 0: the file is empty|document must contain a root/],
    ['a file of words', () => 'hello', /line 1, column \d+: not well-formed XML/],
    ['another root', () => '<ElectionReport/>', /the root is ElectionReport, not VipObject/],
    ['version 3', () => root([], '3.0'), /version 3\.0 of the specification: 5\.x and 6 are read/],
    ['version 7', () => root([], '7'), /version 7 of the specification/],
    ['no version', () => '<VipObject/>', /gives no schemaVersion/],
    ['a truncated file', () => whole.slice(0, -40), /line \d+, column \d+: not well-formed XML: un/],
    [
      'crossed tags',
      () => feedOf(['<Precinct id="a"><Name>x</Precinct></Name>']),
      /line 8, column \d+: not well-formed/,
    ],
    ['a second root', () => `${whole}<VipObject/>`, /only one root/],
    [
      'an unknown entity',
      () => feedOf([precinct('p').replace('Precinct p', '&nbsp;')]),
      /an entity that is none of &amp;/,
    ],
    [
      'an empty DOCTYPE',
      () => whole.replace('<VipObject', '<!DOCTYPE VipObject><VipObject'),
      /a DOCTYPE: feeds have none/,
    ],
    [
      'an element without an id',
      () => feedOf(['<Precinct><Name>x</Name></Precinct>']),
      /Precinct without an id/,
    ],
    [
      'an id twice',
      () => feedOf([precinct('p'), precinct('p', { Number: '2' })]),
      /the id p stands a second time/,
    ],
    ['UTF-16', () => Buffer.from(`\uFEFF${whole}`, 'utf16le'), /UTF-16/],
    ['UTF-16 without a mark', () => Buffer.from(whole, 'utf16le'), /UTF-16/],
    [
      'a declared other encoding',
      () => whole.replace('UTF-8', 'ISO-8859-1'),
      /says that it is in ISO-8859-1/,
    ],
    [
      'bytes of another encoding',
      () => Buffer.from(whole.replace('Mill', 'M\xfchle'), 'latin1'),
      /not in UTF-8/,
    ],
    [
      'half a character at the end',
      () => Buffer.concat([Buffer.from(whole), Buffer.from([0xe2])]),
      /ends within a character/,
    ],
    ['gzip', () => Buffer.from([0x1f, 0x8b, 8, 0]), /gzip: unpack it first/],
    ['too deep', () => `${'<VipObject schemaVersion="5.2">'}${'<a>'.repeat(10_000)}`, /more than 24 deep/],
  ]
  it.each(cases)('%s', async (_, make, message) => {
    const bytes = make()
    const said = await refusal(bytes)
    expect(said).toMatch(message)
    expect(said).toMatch(/feed\.xml: /)
  })

  it('no file, a folder, a pipe', async () => {
    expect(refusalOf(await readFeed(join(folder, 'none.xml')))).toMatch(/none\.xml: there is no such file/)
    expect(refusalOf(await readFeed(folder))).toMatch(/this is no file/)
    execFileSync('mkfifo', [join(folder, 'pipe')])
    expect(refusalOf(await readFeed(join(folder, 'pipe')))).toMatch(/this is no file/)
  })
})

describe('attacks', () => {
  const BOUND = Math.ceil(limits.text / 65_536) + 2

  it('a billion laughs, and the same cut off in the middle of the DOCTYPE', async () => {
    const laughs = Array.from({ length: 9 }, (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`)
    const bomb = `<?xml version="1.0"?><!DOCTYPE VipObject [<!ENTITY l0 "ha">${laughs.join('')}]><VipObject schemaVersion="5.2">&l9;</VipObject>`
    expect(await refusal(bomb)).toMatch(/line 1, column \d+: a DOCTYPE: feeds have none/)
    const open = endless('<!DOCTYPE VipObject [', '<!ENTITY a "b">', 10_000)
    expect(refusalOf(await readFeedStream('x', open.bytes))).toMatch(/more than 1 MB/)
    expect(open.counts.pieces).toBeLessThanOrEqual(BOUND)
  })

  it('an external entity: the file that it names is never read', async () => {
    const secret = kept('not for you', 'secret')
    const xxe = `<!DOCTYPE VipObject [<!ENTITY x SYSTEM "file://${secret}">]>${feedOf([]).replace(/^.*\n/, '').replace('Ellery County', '&x;')}`
    expect(await refusal(xxe)).toMatch(/a DOCTYPE/)
  })

  it.each([
    ['text', '<VipObject schemaVersion="5.2"><Precinct id="p"><Name>', 'a'],
    ['a text that nobody keeps', '<VipObject schemaVersion="5.2"><Contest id="p">', 'a'],
    ['an attribute', '<VipObject schemaVersion="5.2"><Precinct id="', 'a'],
    ['attributes without end', '<VipObject schemaVersion="5.2"><Precinct ', 'a="b" '],
    ['a comment', '<VipObject schemaVersion="5.2"><!--', 'a > b < c '],
    ['CDATA', '<VipObject schemaVersion="5.2"><Precinct id="p"><Name><![CDATA[', 'a > b < c '],
    ['a name', '<VipObject schemaVersion="5.2"><', 'a'],
    ['spaces before the root', ' ', ' '],
    ['a text in parts', '<VipObject schemaVersion="5.2"><Precinct id="p"><Name>', 'aaaa<!---->'],
  ])('200 MB of %s are cut off after about a megabyte, with flat memory', async (_, start, piece) => {
    const { bytes, counts } = endless(start, piece, 3_200)
    const before = process.memoryUsage().rss
    expect(refusalOf(await readFeedStream('x', bytes))).toMatch(/of more than 1 MB|not well-formed/)
    expect(counts.pieces).toBeLessThanOrEqual(BOUND * 3)
    expect(process.memoryUsage().rss - before).toBeLessThan(150 * 1024 * 1024)
  })

  it('elements without end, each of them small, end at the limit of one and at the limit of all', async () => {
    const start = '<VipObject schemaVersion="5.2"><Precinct id="p">'
    const { bytes, counts } = endless(start, '<Ward/>', 100_000)
    expect(refusalOf(await readFeedStream('x', bytes))).toMatch(
      /more than 10,000 elements within one Precinct/,
    )
    expect(counts.pieces).toBeLessThan(3)
    async function* precincts(): AsyncGenerator<Uint8Array> {
      yield Buffer.from('<VipObject schemaVersion="5.2">')
      for (let i = 0; ; i++)
        yield Buffer.from(Array.from({ length: 1_000 }, (_, k) => `<Precinct id="${i}-${k}"/>`).join(''))
    }
    expect(refusalOf(await readFeedStream('x', precincts()))).toMatch(
      /more than 64 MB of precincts, places and/,
    )
  })

  it('a zip bomb, honest or lying about its size', async () => {
    const zeros = Buffer.alloc(64 * 1024 * 1024, ' ')
    const bomb: ZipFile = { name: 'a.xml', bytes: zeros }
    expect(await refusal(zipped(bomb), 'bomb.zip')).toMatch(
      /bomb\.zip: a\.xml would unpack to over 250 times/,
    )
    const liar: ZipFile = { ...bomb, says: { size: 1_000 } }
    expect(await refusal(zipped(liar), 'liar.zip')).toMatch(
      /liar\.zip: the zip can't be read: too many bytes/,
    )
    const huge = Array.from({ length: 5 }, (_, i) => ({
      name: `${i}.xml`,
      bytes: Buffer.alloc(1024 * 1024, 'abcdefgh'.slice(0, i + 3)),
      says: { size: 4_294_967_000 },
    }))
    expect(await refusal(zipped(...huge), 'huge.zip')).toMatch(/times its size|would unpack to/)
  })

  it('a zip of too many files, of none, encrypted, packed strangely, damaged, cut off', async () => {
    const small = xmlFile(feedOf([]))
    const many = Array.from({ length: limits.zipFiles + 1 }, (_, i) => ({ ...small, name: `${i}.xml` }))
    const good = zipped(small)
    expect(await refusal(zipped(...many), 'a.zip')).toMatch(/holds 1001 files; at most 1000/)
    expect(await refusal(zipped(), 'a.zip')).toMatch(/holds no XML file/)
    expect(await refusal(zipped({ name: 'a.zip', bytes: good }), 'a.zip')).toMatch(
      /zips within a zip are not opened/,
    )
    expect(await refusal(zipped(xmlFile('x', { encrypted: true })), 'a.zip')).toMatch(
      /feed\.xml is encrypted/,
    )
    expect(await refusal(zipped(xmlFile('x', { method: 14 })), 'a.zip')).toMatch(
      /by a method that is not read/,
    )
    expect(await refusal(zipped(xmlFile(feedOf([]), { crc: 7 })), 'a.zip')).toMatch(/checksum is another/)
    expect(await refusal(good.subarray(0, good.length - 30), 'a.zip')).toMatch(/the zip can't be read/)
    expect(await refusal(zipped({ ...small, name: '../../a.xml' }), 'a.zip')).toMatch(/the zip can't be read/)
  })

  it('an error in a file of a zip names the file, line and column', async () => {
    const bad = { name: 'ward 2.xml', bytes: Buffer.from(feedOf(['<Precinct id="a">'])) }
    expect(await refusal(zipped(xmlFile(feedOf([])), bad), 'a.zip')).toMatch(
      /a\.zip: ward 2\.xml: line \d+, column \d+: not well-formed XML/,
    )
  })

  it('any change of bytes gives a feed or a named message, never an exception or a hang', async () => {
    const good = Buffer.from(feedOf(smallElements().slice(5)))
    const packed = zipped(xmlFile(good.toString()))
    const change = fc.record({
      at: fc.nat(10_000),
      cut: fc.nat(60),
      put: fc.oneof(
        fc.uint8Array({ maxLength: 12 }),
        fc
          .constantFrom(
            '<',
            '>',
            '&',
            '&#0;',
            ']]>',
            '<!--',
            '<![CDATA[',
            '<?x',
            '</',
            '"',
            '<!DOCTYPE a>',
            '\u2028',
          )
          .map(t => Buffer.from(t)),
      ),
    })
    await fc.assert(
      fc.asyncProperty(
        fc.boolean(),
        fc.array(change, { minLength: 1, maxLength: 4 }),
        async (inZip, changes) => {
          let bytes = inZip ? packed : good
          for (const { at, cut, put } of changes) {
            const from = at % bytes.length
            bytes = Buffer.concat([bytes.subarray(0, from), put, bytes.subarray(from + cut)])
            if (bytes.length === 0) bytes = Buffer.from(' ')
          }
          const path = join(folder, 'mutated')
          writeFileSync(path, bytes)
          const outcome = await readFeed(path)
          if ('refusal' in outcome) expect(outcome.refusal).toMatch(/mutated: .{8,}/)
        },
      ),
      { seed: 20261103, numRuns: 600 },
    )
  })
})

it('an election without a date that can be read keeps none', async () => {
  expect((await feed(root([source(), election('3 November')]))).elections[0]!.date).toBe('')
  expect((await feed(root([source(), election('2026-02-30')]))).elections[0]!.date).toBe('')
  expect((await feed(root([source(), election('2026-11-03-05:00')]))).elections[0]!.date).toBe('2026-11-03')
})
