import { createReadStream } from 'node:fs'
import { open, stat } from 'node:fs/promises'
import type { Feed } from '../domain/plan/fromFeedShape.ts'
import { type Kept, readElements } from './elements.ts'
import { limits, megabytes } from './limits.ts'
import { gathering, wantedElements } from './records.ts'
import { eachXmlOf } from './unzip.ts'

/** What was read of a file. `passedOver`: files in a zip that are no XML. */
export type FeedRead = { feed: Feed; passedOver: string[] } | { refusal: string }

/**
 * Reads a feed, an XML file or a zip of one or several, piece by piece. Memory is what is kept of precincts,
 * places and hours, and one element. Whatever is wrong with the file is a refusal that names the place.
 * `progress` is told in words, about every two seconds.
 */
export async function readFeed(path: string, progress: Progress = () => {}): Promise<FeedRead> {
  const reading = begin(progress)
  try {
    const kind = await kindOf(path)
    if ('refusal' in kind) return { refusal: `${path}: ${kind.refusal}` }
    if (kind.is === 'xml') {
      const stream = createReadStream(path, { highWaterMark: 64 * 1024 })
      return await reading.whole(path, stream)
    }
    const zip = await eachXmlOf(path, (name, bytes) => reading.part(shown(name), bytes))
    if ('passedOver' in zip) return { feed: reading.feed, passedOver: zip.passedOver.map(shown) }
    return { refusal: `${path}: ${zip.refusal}` }
  } catch (error) {
    const refusal = troubleOf(error)
    if (refusal === null) throw error
    return { refusal: `${path}: ${refusal}` }
  }
}

/** The same of XML that comes from elsewhere than a file; what the source throws is thrown. */
export function readFeedStream(name: string, bytes: AsyncIterable<Uint8Array>): Promise<FeedRead> {
  return begin(() => {}).whole(name, bytes)
}

type Progress = (line: string) => void

/** One feed in one or several parts. */
function begin(progress: Progress) {
  const { feed, add } = gathering()
  const kept: Kept = { characters: 0 }
  const total = { bytes: 0, told: performance.now() }
  const onRoot = (version: string): string | null => {
    if (!/^[56](\.\d{1,3}){0,2}$/.test(version))
      return version === ''
        ? 'the root gives no schemaVersion: 5.x or 6 is read'
        : `the feed is of version ${version.slice(0, 20)} of the specification: 5.x and 6 are read`
    if (feed.version !== '' && feed.version !== version)
      return `one file is of version ${feed.version}, this one of ${version}: they are no parts of one feed`
    feed.version = version
    return null
  }
  const part = async (name: string, bytes: AsyncIterable<Uint8Array>): Promise<string | null> => {
    const reader = readElements({ wanted: wantedElements, kept, onRoot, onElement: add })
    const refusal = await readText(bytes, reader, total, progress)
    return refusal === null ? null : `${name}: ${refusal}`
  }
  const whole = async (name: string, bytes: AsyncIterable<Uint8Array>): Promise<FeedRead> => {
    const refusal = await part(name, bytes)
    return refusal === null ? { feed, passedOver: [] } : { refusal }
  }
  return { feed, part, whole }
}

const shown = (name: string) => name.replace(/\p{Cc}/gu, '?').slice(0, 120)

async function readText(
  bytes: AsyncIterable<Uint8Array>,
  reader: ReturnType<typeof readElements>,
  total: { bytes: number; told: number },
  progress: Progress,
): Promise<string | null> {
  const decoder = new TextDecoder('utf-8', { fatal: true })
  const decode = (chunk?: Uint8Array): string | null => {
    try {
      return chunk ? decoder.decode(chunk, { stream: true }) : decoder.decode()
    } catch {
      return null
    }
  }
  let first = true
  for await (const chunk of bytes) {
    if (first && isWide(chunk)) return 'the file is in UTF-16 or UTF-32: save it in UTF-8'
    first = false
    total.bytes += chunk.length
    if (total.bytes > limits.xmlBytes) return `more than ${megabytes(limits.xmlBytes)} of XML`
    const text = decode(chunk)
    if (text === null) return `after ${reader.place()}: the text is not in UTF-8`
    const refusal = reader.write(text)
    if (refusal !== null) return refusal
    if (performance.now() - total.told > 2_000) {
      total.told = performance.now()
      progress(`  ${Math.round(total.bytes / 1024 / 1024)} MB read`)
    }
  }
  if (decode() === null) return `${reader.place()}: the file ends within a character`
  return reader.end()
}

/** A byte order mark of UTF-16, or a first `<` of two or four bytes. */
function isWide(chunk: Uint8Array): boolean {
  const [a = 1, b = 1] = chunk
  return (a === 0xff && b === 0xfe) || (a === 0xfe && b === 0xff) || a === 0 || (a === 0x3c && b === 0)
}

/** By its first bytes, whatever it is called. */
async function kindOf(path: string): Promise<{ is: 'xml' | 'zip' } | { refusal: string }> {
  // Looked at before it is opened: opening a pipe would wait for somebody to write.
  const looked = await stat(path)
  if (!looked.isFile()) return { refusal: 'this is no file' }
  const file = await open(path, 'r')
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(4), 0, 4, 0)
    const start = buffer.subarray(0, bytesRead).toString('latin1')
    if (start.startsWith('\x1f\x8b'))
      return { refusal: 'packed by gzip: unpack it first, or pack it as a zip' }
    if (start === 'PK\x03\x04' || start === 'PK\x05\x06') return { is: 'zip' }
    if (looked.size > limits.xmlBytes)
      return {
        refusal: `the file has ${megabytes(looked.size)}; at most ${megabytes(limits.xmlBytes)} are read`,
      }
    return { is: 'xml' }
  } finally {
    await file.close()
  }
}

/** Troubles of files and zips in words; null: none of these, so a fault of ours. */
function troubleOf(error: unknown): string | null {
  if (!(error instanceof Error)) return null
  const { code } = error as NodeJS.ErrnoException
  if (code === 'ENOENT') return 'there is no such file'
  if (code?.startsWith('Z_')) return `the zip is damaged (${error.message})`
  if (code !== undefined) return `the file can't be read (${code})`
  // The zip library says what it finds as bare errors.
  return error.name === 'Error' && error.constructor === Error
    ? `the zip can't be read: ${error.message.slice(0, 200)}`
    : null
}
