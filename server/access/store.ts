import type { Device, Person } from './access.ts'

/**
 * Where access keeps what it knows (db/accessStore.ts; tests may give a table in memory). Secrets come here only
 * as hashes. All instants are wall time in milliseconds. What is spent is spent in one transaction: of two
 * callers exactly one gets it, and a crash never leaves it half spent.
 */
export type AccessStore = {
  /** Revoked ones too: the caller looks at `revokedAt`. */
  deviceOfKey(keyHash: string): Promise<Device | null>
  /** In the order of enrolment. */
  devicesOf(day: string): Promise<Device[]>
  /** The device as revoked; null: unknown or revoked before. */
  revokeDevice(id: string, at: number): Promise<Device | null>

  addCode(code: { hash: string; day: string; precinct: string; issuedAt: number }): Promise<void>
  /** Uses a code up and enrols the device for the code's day and precinct. */
  spendCode(
    hash: string,
    device: { id: string; label: string; keyHash: string; enrolledAt: number },
  ): Promise<{ ok: true; device: Device } | { ok: false; reason: 'wrong-code' | 'used-code' | 'day-closed' }>

  /** A person with the same id is overwritten. */
  addPerson(person: Person): Promise<void>
  /** By name. */
  people(): Promise<Person[]>

  addLink(link: { hash: string; person: string; expiresAt: number }): Promise<void>
  /** Uses a link up and begins the session. null: unknown, expired at `at`, or used. */
  spendLink(hash: string, session: { hash: string; expiresAt: number }, at: number): Promise<Person | null>
  /** null: unknown or expired at `at`. */
  personOfSession(hash: string, at: number): Promise<Person | null>
  /** The id of the person whose session it was; null: there was none. */
  endSession(hash: string): Promise<string | null>

  addToken(token: { hash: string; person: string; createdAt: number }): Promise<void>
  personOfToken(hash: string): Promise<Person | null>

  /** Deletes links and sessions that have expired at `at`; the ids of the people whose sessions ended. */
  removeExpired(at: number): Promise<string[]>
}
