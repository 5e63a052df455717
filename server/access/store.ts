import type { Device, Person } from './access.ts'

/**
 * What access keeps, behind an interface (db/accessStore.ts keeps it in Postgres). Hashes are SHA-256 in hex,
 * instants are wall time in milliseconds. Every method is one transaction.
 */
export type AccessStore = {
  /** Adds, or changes name and role. */
  addPerson(person: Person): Promise<void>
  people(): Promise<Person[]>

  addCode(code: { hash: string; day: string; precinct: string; issuedAt: number }): Promise<void>
  /**
   * Uses the code up and adds the device of its day and precinct, both or neither: of several callers with one
   * code exactly one gets a device. A code of a day that is closed enrols nobody.
   */
  spendCode(
    hash: string,
    device: { id: string; label: string; keyHash: string; enrolledAt: number },
  ): Promise<{ ok: true; device: Device } | { ok: false; reason: 'wrong-code' | 'used-code' | 'day-closed' }>

  /** Also of a revoked device. */
  deviceOfKey(keyHash: string): Promise<Device | null>
  /** By the order of enrolment, revoked ones too. */
  devicesOf(day: string): Promise<Device[]>
  /** Null: no such device. Revoking again changes nothing and returns it. */
  revokeDevice(id: string, at: number): Promise<Device | null>

  addLink(link: { hash: string; person: string; expiresAt: number }): Promise<void>
  /** Uses the link up and starts the session, both or neither. Null: unknown, used, or expired (expiresAt ≤ now). */
  spendLink(hash: string, session: { hash: string; expiresAt: number }, now: number): Promise<Person | null>
  personOfSession(hash: string, now: number): Promise<Person | null>
  /** Id of the person whose session it was; null: there was none. */
  endSession(hash: string): Promise<string | null>
  /** Removes sessions and links with expiresAt ≤ now; ids of the persons whose sessions ended, each once. */
  removeExpired(now: number): Promise<string[]>

  addToken(token: { hash: string; person: string; createdAt: number }): Promise<void>
  personOfToken(hash: string): Promise<Person | null>
}
