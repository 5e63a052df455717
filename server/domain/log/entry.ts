import type { Instant } from '../time.ts'
import type { Body, Kind } from './kinds.ts'

/** How an entry came to be known. A caller's or a paper's words are written in by the desk. */
export type Via = 'device' | 'caller' | 'paper' | 'desk' | 'system'

export type Origin = {
  via: Via
  /** Who spoke, by role: never by name (`caller` and `paper` only). */
  spoke?: string
  /** Opaque id of the person who wrote it in or gave the command. */
  wrote?: string
  /** Opaque id of who accepted it at the desk, where it had been kept aside (aside.ts). */
  acceptedBy?: string
  /** The device sent no `sentAt`, so when it happened is unmeasured: it stands at `recordedAt`. */
  unmeasured?: true
  /** Device clock minus server clock in whole seconds, where it is off by a minute or more. */
  skewSeconds?: number
  /** The words that may have to be taken back are kept apart; this is their salted SHA-256. */
  detailHash?: string
}

/** What is to be appended: everything but what the log itself gives (position, recordedAt, hash). */
export type Draft<K extends Kind = Kind> = K extends Kind
  ? {
      kind: K
      version: number
      /** Precinct code, or null for the whole county. */
      precinct: string | null
      /** `device:ID`, `command:ID`, `aside:ID:CONTENT` (aside.ts) or `system`. */
      source: string
      /** The device's own number, the index within a command from 1, or null for the system. */
      number: number | null
      occurredAt: Instant
      origin: Origin
      body: Body<K>
    }
  : never

/** One line of the day log. Times are day time. */
export type Entry<K extends Kind = Kind> = Draft<K> & {
  position: number
  recordedAt: Instant
}

/** Free text and names: kept beside the log where they can be erased without breaking its chain. */
export type Detail = Record<string, string>
