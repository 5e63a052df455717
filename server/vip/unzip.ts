import type { Readable } from 'node:stream'
import { crc32 } from 'node:zlib'
import { type Entry, openPromise } from 'yauzl'
import { limits, megabytes } from './limits.ts'

/**
 * The XML files of a zip, one after another, unpacked as they are read; nothing is written anywhere and zips
 * within are not opened. `take` reads one to its end and returns why it is refused, or null. What the zip says of
 * its sizes is checked before anything is unpacked, and the library holds each file to what was said.
 *
 * Returns the names of files that were passed over. Troubles of the library are thrown as it throws them.
 */
export async function eachXmlOf(
  path: string,
  take: (name: string, bytes: AsyncIterable<Uint8Array>) => Promise<string | null>,
): Promise<{ passedOver: string[] } | { refusal: string }> {
  const zip = await openPromise(path, { lazyEntries: true, autoClose: false })
  try {
    if (zip.entryCount > limits.zipFiles)
      return {
        refusal: `the zip says that it holds ${zip.entryCount} files; at most ${limits.zipFiles} are taken`,
      }
    const entries: Entry[] = []
    for await (const entry of zip.eachEntry()) if (!entry.fileName.endsWith('/')) entries.push(entry)
    const isXml = ({ fileName }: Entry) => /\.xml$/i.test(fileName) && !/(^|\/)(__MACOSX\/|\.)/.test(fileName)
    const xml = entries.filter(isXml)
    const passedOver = entries.filter(e => !isXml(e)).map(e => e.fileName)
    const wrong = troubleOf(xml, zip.fileSize)
    if (wrong !== null) return { refusal: wrong }
    for (const entry of xml) {
      const stream: Readable = await zip.openReadStreamPromise(entry)
      const sum = { is: 0 }
      const refusal = await take(entry.fileName, summed(stream, sum))
      if (refusal !== null) return { refusal }
      if (sum.is !== entry.crc32)
        return { refusal: `${entry.fileName}: the zip is damaged: its checksum is another` }
    }
    return { passedOver }
  } finally {
    zip.close()
  }
}

/** What can be seen of a zip's list alone. */
function troubleOf(xml: readonly Entry[], packedBytes: number): string | null {
  if (xml.length === 0) return 'the zip holds no XML file (zips within a zip are not opened)'
  let bytes = 0
  for (const entry of xml) {
    const { fileName, uncompressedSize, compressedSize } = entry
    if (entry.isEncrypted()) return `${fileName} is encrypted: a feed is public, give it without a password`
    if (!entry.canDecodeFileData())
      return `${fileName} is packed by a method that is not read here: pack it the usual way (deflate)`
    bytes += uncompressedSize
    if (uncompressedSize > limits.zipSmall && uncompressedSize > compressedSize * limits.zipRatio)
      return `${fileName} would unpack to over ${limits.zipRatio} times its size: that is no feed`
  }
  if (bytes > limits.xmlBytes)
    return `the zip would unpack to ${megabytes(bytes)}; at most ${megabytes(limits.xmlBytes)} are read`
  if (bytes > limits.zipSmall && bytes > packedBytes * limits.zipRatio)
    return `the zip would unpack to over ${limits.zipRatio} times its size: that is no feed`
  return null
}

async function* summed(stream: Readable, sum: { is: number }): AsyncIterable<Uint8Array> {
  for await (const chunk of stream) {
    sum.is = crc32(chunk, sum.is)
    yield chunk
  }
}
