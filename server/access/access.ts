import type { Role } from '../protocol/roles.ts'

/** Who may speak: the door to people and devices that the other rooms are given (server/access/*.ts makes it). */

export type Device = {
  id: string
  day: string
  precinct: string
  label: string
  enrolledAt: number
  revokedAt: number | null
}
export type Person = {
  id: string
  name: string
  role: Role
  /** A rover's code in the plan, or the code of a receiving station's place; absent: none. */
  post?: string | null
}

export type EnrolOutcome =
  | { ok: true; device: Device /** Shown once; only its hash is stored. */; key: string }
  | { ok: false; reason: 'wrong-code' | 'used-code' | 'day-closed'; message: string }
  | { ok: false; reason: 'too-many'; message: string; retryAfter: number }

export type Access = {
  /** The device of a key, from memory where it is known; null: unknown or revoked. */
  deviceOfKey(key: string): Promise<Device | null>
  devicesOf(day: string): Promise<Device[]>
  /** A new single-use code of 10 characters from an alphabet without look-alikes; only its hash is stored. */
  issueCode(day: string, precinct: string): Promise<string>
  enrol(code: string, label: string, address: string): Promise<EnrolOutcome>
  revoke(deviceId: string): Promise<Device | null>
  /** Called at once when a device is revoked or a session ends, so that its sockets can be closed. */
  onRevoked(listener: (what: { device?: string; person?: string }) => void): () => void

  /** A one-time sign-in link's secret. Opening it shows a page with a button; only the button (POST) uses it up. */
  makeLink(person: Person, validMs: number): Promise<string>
  spendLink(secret: string): Promise<{ session: string; person: Person; expiresAt: number } | null>
  personOfSession(session: string): Promise<Person | null>
  endSession(session: string): Promise<void>
  makeToken(person: Person): Promise<string>
  personOfToken(token: string): Promise<Person | null>
  addPerson(person: Person): Promise<void>
  people(): Promise<Person[]>
}
