import { hash as hashOf, randomBytes } from 'node:crypto'
import type { Head, NewEntry, Problems, Stored } from '../../server/domain/log/dayLog.ts'
import type { Detail, Entry } from '../../server/domain/log/entry.ts'
import { entryText } from '../../server/domain/log/text.ts'
import type { Instant } from '../../server/domain/time.ts'
import type { Tx } from '../connect.ts'
import type { HeadRow } from './channel.ts'
import {
  type DetailRow,
  insertDetails,
  insertEntries,
  insertRefused,
  type RefusedRow,
  updateHead,
} from './rows.ts'

/** One more link of the chain: SHA-256 of the hash before, a line break and the text, in hex. */
export function chainHash(before: string, text: string): string {
  return hashOf('sha256', `${before}\n${text}`, 'hex')
}

/** What an entry's origin says of its words: SHA-256 of the salt, a line break and the words as JSON, in hex. */
export function detailHash(salt: string, words: string): string {
  return hashOf('sha256', `${salt}\n${words}`, 'hex')
}

type Mark = { position: number; hash: string; entries: number; details: number; refused: number }

/** What one transaction adds to one day, in memory until it is written: numbered, dated and chained. */
export class DayBatch {
  readonly stored: Stored[] = []
  private readonly contents: (bigint | null)[] = []
  private readonly details: DetailRow[] = []
  private readonly refused: RefusedRow[] = []
  private position: number
  private hash: string
  /** Entries of `stored` that were sent to the database. */
  private sent = 0

  constructor(
    readonly before: HeadRow,
    readonly now: Instant,
  ) {
    this.position = before.position
    this.hash = before.hash
  }

  get head(): Head {
    return {
      position: this.position,
      hash: this.hash,
      recordedAt: this.stored.length > 0 ? this.now : this.before.recordedAt,
    }
  }

  add(draft: NewEntry, content: bigint | null): void {
    const { day } = this.before
    if (/[\r\n]/.test(draft.source) || draft.precinct === '')
      throw new Error(`${draft.kind} has a source or precinct that can't be kept`)
    const detail = draft.detail && Object.keys(draft.detail).length > 0 ? draft.detail : undefined
    const position = this.position + 1
    const entry = {
      kind: draft.kind,
      version: draft.version,
      precinct: draft.precinct,
      source: draft.source,
      number: draft.number,
      occurredAt: draft.occurredAt,
      origin: detail ? { ...draft.origin, detailHash: this.keep(position, detail) } : draft.origin,
      body: draft.body,
      position,
      recordedAt: this.now,
    } as Entry
    const text = entryText(day, entry)
    this.hash = chainHash(this.hash, text)
    this.position = position
    this.stored.push(detail ? { entry, text, hash: this.hash, detail } : { entry, text, hash: this.hash })
    this.contents.push(content)
  }

  refuse(row: RefusedRow): void {
    this.refused.push(row)
  }

  /** Whether just this was refused in this batch already: a copied device may say it twice at once. */
  hasRefused({ source, number, content }: Pick<RefusedRow, 'source' | 'number' | 'content'>): boolean {
    return this.refused.some(r => r.number === number && r.content === content && r.source === source)
  }

  private keep(position: number, detail: Detail): string {
    const salt = randomBytes(16).toString('hex')
    const words = JSON.stringify(detail)
    this.details.push({ position, salt, words })
    return detailHash(salt, words)
  }

  /** Where it stands, for taking back what one caller's work has added when that work fails. */
  mark(): Mark {
    return {
      position: this.position,
      hash: this.hash,
      entries: this.stored.length,
      details: this.details.length,
      refused: this.refused.length,
    }
  }

  backTo(mark: Mark): void {
    this.position = mark.position
    this.hash = mark.hash
    this.stored.length = mark.entries
    this.contents.length = mark.entries
    this.details.length = mark.details
    this.refused.length = mark.refused
  }

  get isEmpty(): boolean {
    return this.stored.length === 0 && this.refused.length === 0
  }

  /** Entries that were not sent yet. */
  get unsent(): number {
    return this.stored.length - this.sent
  }

  /** Sends the entries that were not sent yet; they can't be taken back one by one any more. */
  async send(tx: Tx): Promise<void> {
    if (this.unsent === 0) return
    const from = this.sent
    this.sent = this.stored.length
    await insertEntries(tx, this.before.day, this.now, this.stored.slice(from), this.contents.slice(from))
  }

  /** Sends everything else, and moves the head. */
  async finish(tx: Tx): Promise<void> {
    if (this.isEmpty) return
    const { day } = this.before
    await this.send(tx)
    if (this.details.length > 0) await insertDetails(tx, day, this.details)
    if (this.refused.length > 0) await insertRefused(tx, day, this.now, this.refused)
    await updateHead(tx, day, this.head)
  }
}

export const numberReused = (number: number): Problems => [
  {
    path: 'number',
    message: `number-reused: number ${number} was used before with other content; this one is kept aside for the office`,
  },
]
