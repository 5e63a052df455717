import {
  closeSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
  writeSync,
} from 'node:fs'
import { dirname } from 'node:path'
import { z } from 'zod'
import { readAs } from '../../domain/log/check.ts'
import { problem, reportEnvelope } from '../../protocol/device.ts'
import { codeOf, FileTrouble, lockFile } from './fileLock.ts'
import { type DeviceStore, KEPT, memoryStore } from './store.ts'

/**
 * A device's file: JSON Lines, mode 0600, only ever added to while it is in use. The first line is what was enrolled,
 * each other one a report that was said, or what the office dealt with. A line counts once its end is on the disk, so
 * a kill at any moment leaves the file as it was before the line or after it.
 */
const head = z.strictObject({
  sunup: z.literal('device'),
  form: z.literal(1),
  url: z.string(),
  key: z.string(),
  device: z.string(),
  day: z.string(),
  precinct: z.string(),
  /** Of its number, the office had so many when it was enrolled. */
  upTo: z.int().min(0),
})
export type DeviceHead = z.output<typeof head>

const line = z.union([
  z.strictObject({ said: reportEnvelope }),
  z.strictObject({
    done: z.int().min(0),
    office: z.int().min(0),
    refused: z.array(z.strictObject({ number: z.int(), problems: z.array(problem) })).optional(),
  }),
])

export type DeviceFile = { head: DeviceHead; store: DeviceStore; close(): void }

/**
 * Makes the file before its code is spent, so that the key has a place to go.
 * @throws FileTrouble where it is there already or can't be written
 */
export function makeDeviceFile(path: string): { keep(head: DeviceHead): void; drop(): void } {
  let file: number
  try {
    file = openSync(path, 'wx', 0o600)
  } catch (error) {
    if (codeOf(error) === 'EEXIST')
      throw new FileTrouble(
        `${path} is there already: choose another file. Where it is of a device, that device still speaks by it.`,
      )
    throw new FileTrouble(
      `${path} can't be written (${codeOf(error)}): choose a folder that this user may write to.`,
    )
  }
  return {
    keep(head) {
      writeSync(file, `${JSON.stringify(head)}\n`)
      fsyncSync(file)
      closeSync(file)
      syncFolder(path)
    },
    drop() {
      closeSync(file)
      rmSync(path, { force: true })
    },
  }
}

/** @throws FileTrouble where it isn't a device's file, is used by another process, or can't be read or written */
export function openDeviceFile(path: string): DeviceFile {
  const unlock = lockFile(path)
  try {
    const read = readLines(path)
    if (read.whole !== null) replace(path, read.whole)
    const file = openSync(path, 'r+')
    return { head: read.head, store: fileStore(file, read.end, read.store), close: () => close(file, unlock) }
  } catch (error) {
    unlock()
    if (error instanceof FileTrouble) throw error
    const code = codeOf(error)
    throw new FileTrouble(
      code === 'ENOENT'
        ? `${path} is not there: sunup device enrol makes it.`
        : `${path} can't be read and written (${code}): it must belong to this user.`,
    )
  }
}

function close(file: number, unlock: () => void) {
  closeSync(file)
  unlock()
}

/** `end`: bytes of the lines that are whole. `whole`: the file anew, where it holds much that was let go. */
function readLines(path: string): {
  head: DeviceHead
  store: DeviceStore
  end: number
  whole: string | null
} {
  const text = readFileSync(path, 'utf8')
  // What stands after the last end of a line was being written when the process was killed: it was never said.
  const whole = text.slice(0, text.lastIndexOf('\n') + 1)
  const [first = '', ...rest] = whole.split('\n').slice(0, -1)
  const parsedHead = readAs(head, parse(first))
  if (!parsedHead.success)
    throw new FileTrouble(
      `${path} is not a file that sunup device enrol made: name the right one, or enrol with a fresh code into a new one.`,
    )
  const store = memoryStore(parsedHead.data.upTo)
  let settled = { done: parsedHead.data.upTo, office: parsedHead.data.upTo }
  rest.forEach((text, i) => {
    const parsed = readAs(line, parse(text))
    if (!parsed.success)
      throw new FileTrouble(
        `${path}, line ${i + 2}, is not what sunup device wrote there: nothing was sent. Mend it from a copy, or enrol anew and say again what the office lacks.`,
      )
    if ('said' in parsed.data) {
      const { number, ...said } = parsed.data.said
      store.settle(0, number - 1, [])
      store.add(said)
    } else {
      settled = { done: parsed.data.done, office: parsed.data.office }
      store.settle(settled.done, settled.office, parsed.data.refused ?? [])
    }
  })
  const end = Buffer.byteLength(whole)
  const kept = store.after(0, Number.MAX_SAFE_INTEGER)
  if (rest.length <= 2 * kept.length + KEPT.dealtWith)
    return { head: parsedHead.data, store, end, whole: null }
  const anew = [parsedHead.data, ...kept.map(said => ({ said })), { ...settled, refused: store.refused() }]
  const shorter = anew.map(value => `${JSON.stringify(value)}\n`).join('')
  return { head: parsedHead.data, store, end: Buffer.byteLength(shorter), whole: shorter }
}

function fileStore(file: number, end: number, kept: DeviceStore): DeviceStore {
  let length = end
  ftruncateSync(file, length)
  function append(value: unknown, counts: boolean) {
    const bytes = Buffer.from(`${JSON.stringify(value)}\n`)
    try {
      for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at, bytes.length - at, length + at)
      if (counts) fsyncSync(file)
    } catch (error) {
      // Half a line would spoil the next one.
      ftruncateSync(file, length)
      throw new FileTrouble(
        `The device's file can't be written (${codeOf(error)}): nothing was kept of this.`,
      )
    }
    length += bytes.length
  }
  return {
    ...kept,
    add(said) {
      append({ said: { number: kept.last() + 1, ...said } }, true)
      return kept.add(said)
    },
    settle(done, office, refused) {
      const fresh = kept.settle(done, office, refused)
      // Where a loss of power takes this line, the same is asked and sent again.
      append({ done: kept.done(), office, ...(fresh.length > 0 ? { refused: fresh } : {}) }, false)
      return fresh
    },
  }
}

/** Whole beside it and then in its place. */
function replace(path: string, text: string) {
  const half = `${path}.half`
  writeFileSync(half, text, { mode: 0o600, flush: true })
  renameSync(half, path)
  syncFolder(path)
}

/** The name of a new file is on the disk once its folder is; some systems don't let a folder be opened. */
function syncFolder(path: string) {
  try {
    const folder = openSync(dirname(path), 'r')
    fsyncSync(folder)
    closeSync(folder)
  } catch (error) {
    if (!['EISDIR', 'EPERM', 'EACCES', 'EINVAL'].includes(codeOf(error))) throw error
  }
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
