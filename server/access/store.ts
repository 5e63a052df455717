import type { Device, Person } from './access.ts'

/**
 * Where access keeps what it knows (db/accessStore.ts; tests may give a table in memory). Secrets come here only
 * as hashes. All instants are wall time in milliseconds.
 */
export type AccessStore = {
  insertDevice(device: Device, keyHash: string): Promise<void>
  /** Revoked ones too: the caller looks at `revokedAt`. */
  deviceByKeyHash(keyHash: string): Promise<Device | null>
  deviceById(id: string): Promise<Device | null>
  /** In the order of enrolment. */
  devicesOf(day: string): Promise<Device[]>
  /** The device as revoked; null: unknown or revoked before, so of two callers exactly one gets it. */
  revokeDevice(id: string, at: number): Promise<Device | null>

  insertCode(code: { hash: string; day: string; precinct: string; issuedAt: number }): Promise<void>
  /** Uses a code up, in one statement: of two callers exactly one gets it. null: there is no such code. */
  useCode(hash: string, at: number): Promise<{ day: string; precinct: string } | 'used' | null>
  /** The day and precinct of a code, used or not, without using it. */
  codeByHash(hash: string): Promise<{ day: string; precinct: string; usedAt: number | null } | null>

  /** A person with the same id is overwritten. */
  putPerson(person: Person): Promise<void>
  personById(id: string): Promise<Person | null>
  /** Removes the person with links, sessions and tokens. */
  removePerson(id: string): Promise<boolean>
  /** By name. */
  people(): Promise<Person[]>

  insertLink(link: { hash: string; person: string; expiresAt: number }): Promise<void>
  /** Uses a link up, in one statement. null: unknown, expired at `at`, or used. */
  useLink(hash: string, at: number): Promise<Person | null>

  insertSession(session: { hash: string; person: string; expiresAt: number }): Promise<void>
  /** null: unknown or expired at `at`. */
  sessionByHash(hash: string, at: number): Promise<{ person: Person; expiresAt: number } | null>
  /** The person whose session it was; null: there was none. */
  endSession(hash: string): Promise<string | null>

  insertToken(token: { hash: string; person: string; madeAt: number }): Promise<void>
  tokenByHash(hash: string): Promise<Person | null>
  removeToken(hash: string): Promise<boolean>

  /** Deletes used links and sessions that expired before this instant; how many. */
  sweep(before: number): Promise<number>
}
