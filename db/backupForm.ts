import { createHash } from 'node:crypto'
import { Transform } from 'node:stream'
import { crc32 } from 'node:zlib'

/** The packed side of a backup (server/domain/backup/form.ts): its seal, put on and taken off. */

/** Why a backup can't be written or restored, in one line for people. */
export class BackupRefused extends Error {
  override readonly name = 'BackupRefused'
}

/** A gzip member that holds a digest: always the same length and, for the same digest, the same bytes. */
export function sealOf(digest: string): Buffer {
  const text = Buffer.from(`{"file":"${digest}"}\n`)
  const head = Buffer.from([0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0xff])
  // One stored block (RFC 1951, 3.2.4), the last: its length, and the same with every bit turned.
  const block = Buffer.from([1, 0, 0, 0, 0])
  block.writeUInt16LE(text.length, 1)
  block.writeUInt16LE(text.length ^ 0xffff, 3)
  const foot = Buffer.alloc(8)
  foot.writeUInt32LE(crc32(text), 0)
  foot.writeUInt32LE(text.length, 4)
  return Buffer.concat([head, block, text, foot])
}

const SEAL_BYTES = sealOf('0'.repeat(64)).length

/** Lets the packed bytes through and adds the seal at their end. `bytes` counts all of it. */
export function sealing(): Transform & { bytes(): number } {
  const hash = createHash('sha256')
  let bytes = 0
  const stream = new Transform({
    transform(chunk: Buffer, _, done) {
      hash.update(chunk)
      bytes += chunk.length
      done(null, chunk)
    },
    flush(done) {
      bytes += SEAL_BYTES
      done(null, sealOf(hash.digest('hex')))
    },
  })
  return Object.assign(stream, { bytes: () => bytes })
}

/** Takes the seal off and holds the bytes before it to it. `bytes`: what was let through. */
export function unsealing(): Transform & { bytes(): number } {
  const hash = createHash('sha256')
  let kept: Buffer = Buffer.alloc(0)
  let bytes = 0
  let begun = false
  const stream = new Transform({
    transform(chunk: Buffer, _, done) {
      kept = kept.length === 0 ? chunk : Buffer.concat([kept, chunk])
      if (!begun && kept.length >= 2) {
        begun = true
        if (kept[0] !== 0x1f || kept[1] !== 0x8b)
          return done(new BackupRefused('is not a backup of Sunup: it is not packed by gzip'))
      }
      const free = kept.length - SEAL_BYTES
      if (free <= 0) return done()
      const out = kept.subarray(0, free)
      kept = kept.subarray(free)
      hash.update(out)
      bytes += out.length
      done(null, out)
    },
    flush(done) {
      done(begun && kept.equals(sealOf(hash.digest('hex'))) ? null : damaged())
    },
  })
  return Object.assign(stream, { bytes: () => bytes })
}

export function damaged(): BackupRefused {
  return new BackupRefused('is cut short or was altered')
}
