import { type DBSchema, type IDBPDatabase, type IDBPObjectStore, openDB } from 'idb'
import {
  isOpen,
  KEPT,
  type KeptReport,
  type OutboxHead,
  type OutboxOwner,
  type OutboxStore,
  type ReportState,
} from './outboxStore.ts'

type HeadRow = OutboxHead & OutboxOwner

export type PrecinctSchema = DBSchema & {
  heads: { key: string; value: HeadRow }
  reports: {
    key: [string, number]
    value: KeptReport
    indexes: { byState: [string, ReportState, number] }
  }
  /** Who this device is, the plan it last got, when it was last heard. */
  kept: { key: string; value: unknown }
}
export type PrecinctDb = IDBPDatabase<PrecinctSchema>

/** The one database of the precinct page. Rejects where the browser gives no storage. */
export function openPrecinctDb(name = 'sunup-precinct'): Promise<PrecinctDb> {
  return openDB<PrecinctSchema>(name, 1, {
    upgrade(db) {
      db.createObjectStore('heads', { keyPath: 'device' })
      const reports = db.createObjectStore('reports', { keyPath: ['device', 'number'] })
      reports.createIndex('byState', ['device', 'state', 'number'])
      db.createObjectStore('kept')
    },
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
export function createIdbStore(db: PrecinctDb, owner: OutboxOwner): OutboxStore {
  const { device } = owner
  const inState = (state: ReportState, of = device) =>
    IDBKeyRange.bound([of, state, 0], [of, state, Infinity])
  const whole = (of = device, from = 0) => IDBKeyRange.bound([of, from], [of, Infinity])
  const write = () => db.transaction(['heads', 'reports'], 'readwrite', DURABLE)

  async function openCount(reports: Readable): Promise<number> {
    const byState = reports.index('byState')
    return (await byState.count(inState('waiting'))) + (await byState.count(inState('refused')))
  }

  return {
    device,
    async open(upTo) {
      const tx = write()
      const old = await tx.objectStore('heads').get(device)
      const next = { ...owner, last: Math.max(old?.last ?? 0, upTo), upTo: Math.max(old?.upTo ?? 0, upTo) }
      await Promise.all([tx.objectStore('heads').put(next), tx.done])
      return { last: next.last, upTo: next.upTo }
    },

    async add(said, limit) {
      const tx = write()
      if ((await openCount(tx.objectStore('reports'))) >= limit) return 'full'
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
      return db.getAllFromIndex('reports', 'byState', inState('waiting'), max)
    },

    async settle({ numbers, upTo, refused, at }) {
      const tx = write()
      const reports: Writable = tx.objectStore('reports')
      const problems = new Map(refused.map(r => [r.number, r.problems]))
      for (const number of numbers) {
        const report = await reports.get([device, number])
        if (report?.state !== 'waiting') continue
        const why = problems.get(number)
        await reports.put({
          ...report,
          state: why ? 'refused' : 'had',
          dealtAt: at,
          ...(why ? { problems: why } : {}),
        })
      }
      await letGoOldest(reports)
      const head = known(await tx.objectStore('heads').get(device))
      await tx
        .objectStore('heads')
        .put({ ...head, last: Math.max(head.last, upTo), upTo: Math.max(head.upTo, upTo) })
      await tx.done
    },

    async goBack(from) {
      const tx = write()
      const reports: Writable = tx.objectStore('reports')
      const head = known(await tx.objectStore('heads').get(device))
      const [first] = await reports.index('byState').getAll(inState('waiting'), 1)
      const lowest = first?.number ?? head.last + 1
      if (lowest > from) {
        const held = await reports.getAll(IDBKeyRange.bound([device, from], [device, lowest], false, true))
        if (held.length < lowest - from) {
          await tx.done
          return false
        }
        for (const { problems: _, dealtAt: __, ...report } of held)
          await reports.put({ ...report, state: 'waiting' })
      }
      await tx.done
      return true
    },

    async again(of, said, limit) {
      const tx = write()
      const reports: Writable = tx.objectStore('reports')
      const old = await reports.get([of.device, of.number])
      const frees = of.device === device && old && isOpen(old.state) ? 1 : 0
      if ((await openCount(reports)) - frees >= limit) return 'full'
      const head = known(await tx.objectStore('heads').get(device))
      const report: KeptReport = { ...said, device, number: head.last + 1, state: 'waiting' }
      if (old) await reports.put({ ...old, state: 'mended' })
      await Promise.all([
        tx.objectStore('heads').put({ ...head, last: report.number }),
        reports.add(report),
        tx.done,
      ])
      return report
    },

    async leave(of) {
      const tx = write()
      const old = await tx.objectStore('reports').get([of.device, of.number])
      if (old) await tx.objectStore('reports').put({ ...old, state: 'left' })
      await tx.done
    },

    async summary() {
      const tx = db.transaction(['heads', 'reports'], 'readonly')
      const reports: Readable = tx.objectStore('reports')
      const heads = await tx.objectStore('heads').getAll()
      const mine = (await reports.getAll(whole())).reverse()
      const leftovers: KeptReport[] = []
      for (const h of heads) {
        if (h.device === device || h.day !== owner.day || h.precinct !== owner.precinct) continue
        leftovers.push(...(await reports.getAll(whole(h.device))).filter(r => isOpen(r.state)))
      }
      await tx.done
      const { last, upTo } = known(heads.find(h => h.device === device))
      return {
        head: { last, upTo },
        waiting: mine.filter(r => r.state === 'waiting').length,
        refused: mine.filter(r => r.state === 'refused').length,
        reports: mine,
        leftovers,
      }
    },
  }

  async function letGoOldest(reports: Writable) {
    const byState = reports.index('byState')
    const keys: Array<[string, number]> = []
    for (const state of ['had', 'mended', 'left'] as const)
      keys.push(...(await byState.getAllKeys(inState(state))))
    keys.sort((a, b) => a[1] - b[1])
    for (const key of keys.slice(0, Math.max(0, keys.length - KEPT.dealtWith))) await reports.delete(key)
  }
}

function known(head: HeadRow | undefined): HeadRow {
  if (!head) throw new Error('the outbox was used before it was opened')
  return head
}
