import type { Readable } from 'node:stream'

/** A line longer than this can't be a report (8 KiB) however it is written. */
const LINE_BYTES = 64 * 1024

/** Lines of a stream as text; null: one that is too long to be kept, however long it is. */
export async function* linesOf(input: Readable): AsyncGenerator<string | null> {
  let begun: Buffer[] = []
  let length = 0
  const take = (part: Buffer) => {
    length += part.length
    if (length <= LINE_BYTES) begun.push(part)
  }
  const line = () => {
    const text = length > LINE_BYTES ? null : Buffer.concat(begun).toString('utf8')
    begun = []
    length = 0
    return text
  }
  for await (const chunk of input) {
    const bytes = Buffer.isBuffer(chunk) ? chunk : Buffer.from(chunk)
    let from = 0
    for (let end = bytes.indexOf(10); end >= 0; end = bytes.indexOf(10, from)) {
      take(bytes.subarray(from, end))
      yield line()
      from = end + 1
    }
    take(bytes.subarray(from))
  }
  if (length > 0) yield line()
}
