import { createReadStream } from 'node:fs'
import { pipeline } from 'node:stream/promises'
import { createGunzip } from 'node:zlib'
import { type Header, header, LIMITS } from '../server/domain/backup/form.ts'
import { BackupRefused, damaged, unsealing } from './backupForm.ts'

/**
 * Gives the lines of a backup in order, unpacked as they are asked for: what is in memory is one line and some
 * blocks of 64 KiB. `raw` holds the line's bytes with its line break.
 *
 * When it resolves or rejects, the last call of `take` has settled.
 *
 * @throws BackupRefused where the file is none, is damaged, or unpacks beyond the limits
 */
export async function readLines(
  file: string,
  take: (line: string, raw: Buffer) => void | Promise<void>,
): Promise<void> {
  const source = createReadStream(file)
  const packed = unsealing()
  const gunzip = createGunzip()
  // What a pipeline ends with isn't always what went wrong first: often it only says that it was stopped.
  let first: unknown
  const remember = (error: unknown) => {
    if (!isStopped(error)) first ??= error
  }
  for (const stream of [source, packed, gunzip] as NodeJS.EventEmitter[]) stream.on('error', remember)
  const lines = cutting(take, () => packed.bytes())
  let taking = Promise.resolve()
  try {
    await pipeline(source, packed, gunzip, async (blocks: AsyncIterable<Buffer>) => {
      for await (const block of blocks) {
        taking = lines.take(block)
        await taking
      }
    })
    if (lines.left() > 0) throw damaged()
  } catch (error) {
    // A line may still be under way: whoever takes it must be done before this ends, and gets no other.
    lines.stop()
    await taking.catch(remember)
    throw inOneLine(file, first ?? error)
  }
}

/** Cuts unpacked blocks into lines, within the limits. */
function cutting(take: (line: string, raw: Buffer) => void | Promise<void>, packedBytes: () => number) {
  let unpacked = 0
  let rest: Buffer[] = []
  let restBytes = 0
  let stopped = false
  return {
    left: () => restBytes,
    stop: () => {
      stopped = true
    },
    take: async (block: Buffer) => {
      unpacked += block.length
      if (unpacked > LIMITS.firstBytes + LIMITS.ratio * packedBytes())
        throw new BackupRefused(
          `unpacks to more than ${LIMITS.ratio} times its size: it is no backup of Sunup`,
        )
      let from = 0
      for (let at = block.indexOf(10); at >= 0 && !stopped; at = block.indexOf(10, from)) {
        const raw = join(rest, block.subarray(from, at + 1))
        rest = []
        restBytes = 0
        from = at + 1
        const taken = take(raw.toString('utf8', 0, raw.length - 1), raw)
        if (taken) await taken
      }
      if (from === block.length) return
      rest.push(block.subarray(from))
      restBytes += block.length - from
      if (restBytes > LIMITS.lineBytes)
        throw new BackupRefused(`has a line of more than ${LIMITS.lineBytes} bytes: it is no backup of Sunup`)
    },
  }
}

/** The header of a backup, without reading on; null: it has none. */
export async function readHeader(file: string): Promise<Header | null> {
  const enough = new Error('enough')
  let found: Header | null = null
  try {
    await readLines(file, line => {
      found = header.safeParse(JSON.parse(line)).data ?? null
      throw enough
    })
  } catch {
    return found
  }
  return found
}

function isStopped(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException).code
  return code === 'ABORT_ERR' || code === 'ERR_STREAM_PREMATURE_CLOSE'
}

function join(before: Buffer[], last: Buffer): Buffer {
  return before.length === 0 ? last : Buffer.concat([...before, last])
}

function inOneLine(file: string, error: unknown): unknown {
  if (error instanceof BackupRefused)
    return new BackupRefused(`${file} ${error.message}: nothing was restored`)
  const { code, syscall } = error as NodeJS.ErrnoException
  if (code === 'ENOENT') return new BackupRefused(`There is no file ${file}.`)
  if (code !== undefined && syscall !== undefined)
    return new BackupRefused(`${file} can't be read (${code}).`)
  if (code?.startsWith('Z_')) return new BackupRefused(`${file} ${damaged().message}: nothing was restored`)
  return error
}
