import type { DBSchema, IDBPObjectStore } from 'idb'
import { type DbDoor, openDoor } from './outboxDoor.ts'
import {
  closedAs,
  dealtWith,
  fixedAs,
  isOpen,
  KEPT,
  type KeptReport,
  LIMITED,
  type OutboxHead,
  type OutboxOwner,
  type OutboxStore,
  type ReportState,
  sentAgain,
} from './outboxStore.ts'

type HeadRow = OutboxHead & OutboxOwner

type PrecinctSchema = DBSchema & {
  heads: { key: string; value: HeadRow }
  reports: {
    key: [string, number]
    value: KeptReport
    indexes: { byState: [string, ReportState, number] }
  }
  /** Who this device is, the plan it last got, when it was last heard. */
  kept: { key: string; value: unknown }
}
export type PrecinctDoor = DbDoor<PrecinctSchema>

/** The database of a tablet's first enrolment; it keeps the list of them all too. Others have their own. */
export const FIRST_DATABASE = 'sunup-precinct'

/** One enrolment's database. Rejects where the browser gives no storage. */
export function openPrecinctDb(name = FIRST_DATABASE): Promise<DbDoor<PrecinctSchema>> {
  return openDoor<PrecinctSchema>(name, 1, db => {
    db.createObjectStore('heads', { keyPath: 'device' })
    const reports = db.createObjectStore('reports', { keyPath: ['device', 'number'] })
    reports.createIndex('byState', ['device', 'state', 'number'])
    db.createObjectStore('kept')
  })
}

/** Power can go at any moment: a report counts as saved when it is on the disk, not in a cache above it. */
const DURABLE = { durability: 'strict' } as const

type Writable = IDBPObjectStore<PrecinctSchema, ArrayLike<'heads' | 'reports'>, 'reports', 'readwrite'>
type Readable = IDBPObjectStore<
  PrecinctSchema,
  ArrayLike<'heads' | 'reports'>,
  'reports',
  'readonly' | 'readwrite'
>

/** The outbox in IndexedDB: one transaction a method, so tabs and crashes find it whole. */
export function createIdbStore(door: PrecinctDoor, owner: OutboxOwner): OutboxStore {
  const { device } = owner
  const inState = (state: ReportState, of = device) =>
    IDBKeyRange.bound([of, state, 0], [of, state, Infinity])
  const whole = (of = device, from = 0) => IDBKeyRange.bound([of, from], [of, Infinity])
  const write = () => door.begin(db => db.transaction(['heads', 'reports'], 'readwrite', DURABLE))

  async function countIn(reports: Readable, states: readonly ReportState[]): Promise<number> {
    const byState = reports.index('byState')
    const counts = await Promise.all(states.map(state => byState.count(inState(state))))
    return counts.reduce((sum, count) => sum + count, 0)
  }

  /** What is sent again was said before all that waits. */
  async function toSend(reports: Readable, max: number): Promise<KeptReport[]> {
    const byState = reports.index('byState')
    const again = await byState.getAll(inState('again'), max)
    if (again.length === max) return again
    return [...again, ...(await byState.getAll(inState('waiting'), max - again.length))]
  }

  return {
    device,
    async open(upTo) {
      const tx = await write()
      const old = await tx.objectStore('heads').get(device)
      const next = { ...owner, last: Math.max(old?.last ?? 0, upTo), upTo: Math.max(old?.upTo ?? 0, upTo) }
      await Promise.all([tx.objectStore('heads').put(next), tx.done])
      return { last: next.last, upTo: next.upTo }
    },

    async add(said, limit) {
      const tx = await write()
      if ((await countIn(tx.objectStore('reports'), LIMITED)) >= limit) return 'full'
      const head = known(await tx.objectStore('heads').get(device))
      const report: KeptReport = { ...said, device, number: head.last + 1, state: 'waiting' }
      await Promise.all([
        tx.objectStore('heads').put({ ...head, last: report.number }),
        tx.objectStore('reports').add(report),
        tx.done,
      ])
      return report
    },

    async waiting(max) {
      const tx = await door.begin(db => db.transaction('reports'))
      return toSend(tx.store as unknown as Readable, max)
    },

    async fix(going) {
      const tx = await write()
      const reports: Writable = tx.objectStore('reports')
      for (const one of going) {
        const kept = await reports.get([device, one.number])
        if (kept?.stamp) await reports.put(fixedAs(kept, one))
      }
      await tx.done
    },

    async settle({ numbers, upTo, refused, at }) {
      const tx = await write()
      const reports: Writable = tx.objectStore('reports')
      const problems = new Map(refused.map(r => [r.number, r.problems]))
      for (const number of numbers) {
        const report = await reports.get([device, number])
        if (report?.state !== 'waiting' && report?.state !== 'again') continue
        await reports.put(dealtWith(report, problems.get(number), at))
      }
      await letGoOldest(reports)
      const head = known(await tx.objectStore('heads').get(device))
      await tx
        .objectStore('heads')
        .put({ ...head, last: Math.max(head.last, upTo), upTo: Math.max(head.upTo, upTo) })
      await tx.done
    },

    async goBack(from) {
      const tx = await write()
      const reports: Writable = tx.objectStore('reports')
      const head = known(await tx.objectStore('heads').get(device))
      const [first] = await toSend(reports, 1)
      const lowest = first?.number ?? head.last + 1
      if (lowest > from) {
        const held = await reports.getAll(IDBKeyRange.bound([device, from], [device, lowest], false, true))
        if (held.length < lowest - from) {
          await tx.done
          return false
        }
        for (const report of held) await reports.put(sentAgain(report))
      }
      if (head.upTo >= from) await tx.objectStore('heads').put({ ...head, upTo: from - 1 })
      await tx.done
      return true
    },

    async again(of, said, limit) {
      const tx = await write()
      const reports: Writable = tx.objectStore('reports')
      const old = await reports.get([of.device, of.number])
      const frees = of.device === device && old && isLimited(old.state) ? 1 : 0
      if ((await countIn(reports, LIMITED)) - frees >= limit) return 'full'
      const head = known(await tx.objectStore('heads').get(device))
      const report: KeptReport = { ...said, device, number: head.last + 1, state: 'waiting' }
      if (old) await reports.put(closedAs(old, 'mended'))
      await Promise.all([
        tx.objectStore('heads').put({ ...head, last: report.number }),
        reports.add(report),
        tx.done,
      ])
      return report
    },

    async leave(of) {
      const tx = await write()
      const old = await tx.objectStore('reports').get([of.device, of.number])
      if (old) await tx.objectStore('reports').put(closedAs(old, 'left'))
      await tx.done
    },

    async summary() {
      const tx = await door.begin(db => db.transaction(['heads', 'reports'], 'readonly'))
      const reports: Readable = tx.objectStore('reports')
      const heads = await tx.objectStore('heads').getAll()
      const mine = (await reports.getAll(whole())).reverse()
      const leftovers: KeptReport[] = []
      for (const h of heads) {
        if (h.device === device || h.day !== owner.day || h.precinct !== owner.precinct) continue
        leftovers.push(...(await reports.getAll(whole(h.device))).filter(isOpen))
      }
      await tx.done
      const { last, upTo } = known(heads.find(h => h.device === device))
      return {
        head: { last, upTo },
        waiting: mine.filter(r => r.state === 'waiting' || r.state === 'again').length,
        again: mine.filter(r => r.state === 'again').length,
        refused: mine.filter(r => r.state === 'refused').length,
        reports: mine,
        leftovers,
      }
    },
  }

  async function letGoOldest(reports: Writable) {
    const closed = ['had', 'mended', 'left'] as const
    const tooMany = (await countIn(reports, closed)) - KEPT.dealtWith
    if (tooMany <= 0) return
    const byState = reports.index('byState')
    const keys = (await Promise.all(closed.map(state => byState.getAllKeys(inState(state))))).flat()
    keys.sort((a, b) => a[1] - b[1])
    for (const key of keys.slice(0, tooMany)) await reports.delete(key)
  }
}

function isLimited(state: ReportState): boolean {
  return (LIMITED as readonly ReportState[]).includes(state)
}

function known(head: HeadRow | undefined): HeadRow {
  if (!head) throw new Error('the outbox was used before it was opened')
  return head
}
