import type { Person } from '../access/access.ts'
import type { DayState } from '../domain/day/state.ts'
import type { NewEntry } from '../domain/log/dayLog.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import type { Instant } from '../domain/time.ts'
import type { CommandBody, CommandKind, Refusal } from '../protocol/command.ts'

/**
 * What people may do. A decider is pure: command, state at the head, now → entries or a named refusal. It runs
 * under the head's lock, so of two people taking one call exactly one wins.
 */
export type Deciding = {
  state: DayState
  index: PlanIndex
  person: Person
  /** The command's own id. */
  id: string
  now: Instant
  /** Milliseconds of the day that went by in the last so many of the wall clock. */
  elapsed(agoMs: number): number
  /** Display name of a person at the desk. */
  nameOf(personId: string): string
}

export type Decided = { entries: NewEntry[] } | { refusal: Refusal }

export type Decider<K extends CommandKind> = (body: CommandBody<K>, at: Deciding) => Decided

export function refuse(reason: Refusal['reason'], message: string, more: Partial<Refusal> = {}): Decided {
  return { refusal: { reason, message, ...more } }
}

/** An entry of the desk about one precinct, as it goes to the log; source and number are given by the runner. */
export function deskEntry(
  kind: NewEntry['kind'],
  precinct: string | null,
  body: Record<string, unknown>,
  at: Deciding,
  detail?: Record<string, string>,
): NewEntry {
  return {
    kind,
    version: 1,
    precinct,
    source: '',
    number: null,
    occurredAt: at.now,
    origin: { via: 'desk', wrote: at.person.id },
    body,
    ...(detail ? { detail } : {}),
  } as unknown as NewEntry
}
