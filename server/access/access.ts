import type { PeopleChange } from '../protocol/peopleChanges.ts'
import type { Role } from '../protocol/roles.ts'
import type { TokenRole } from '../protocol/setup.ts'

/** Who may speak: the door to people and devices that the other rooms are given (server/access/*.ts makes it). */

export type Device = {
  id: string
  day: string
  precinct: string
  label: string
  enrolledAt: number
  revokedAt: number | null
  /** Another took its place: its key still works, and what it says from then on is kept aside. */
  replacedAt: number | null
}
export type Person = {
  id: string
  name: string
  role: Role
  /** A rover's code in the plan, or the code of a receiving station's place; absent: none. */
  post?: string | null
}

/** `other-day`, `served-already`: by what the tablet serves already; the code is not used up. */
export type CodeRefusal = 'wrong-code' | 'used-code' | 'day-closed' | 'other-day' | 'served-already'

/** The day and the precincts that a tablet speaks for already. */
export type Beside = { day: string; precincts: string[] }

export type EnrolOutcome =
  | {
      ok: true
      device: Device
      /** Shown once; only its hash is stored. */
      key: string
      /** The device whose place it took just now. */
      replaced: string | null
    }
  | { ok: false; reason: CodeRefusal; message: string }
  | { ok: false; reason: 'too-many'; message: string; retryAfter: number }

/** A session that has begun: its secret is the cookie's value. Milliseconds of wall time. */
export type Entered = { session: string; person: Person; expiresAt: number }

/** `browser` is the secret by which this browser is known at the next sign-in; `until`: so long. */
export type SignInOutcome =
  | ({ ok: true; browser: { secret: string; until: number } } & Entered)
  /** Said of a wrong password, an unknown e-mail, an account that is off and one without a password alike. */
  | { ok: false; reason: 'wrong' }
  | { ok: false; reason: 'too-many' /** Milliseconds. */; retryAfter: number }
  /** A new password that the rules refuse, and why; the link is still good. */
  | { ok: false; reason: 'refused'; message: string }
  /** The link was used, is too old or never was. */
  | { ok: false; reason: 'no-link' }

/** What a link is for: to sign in, or to set a password and then be signed in. */
export type LinkPurpose = 'sign-in' | 'password'

export type Account = {
  id: string
  name: string
  email: string | null
  role: Role
  post: string | null
  /** `invited`: has an e-mail and no password yet. Who has no e-mail comes by sign-in links only and is `active`. */
  is: 'invited' | 'active' | 'off'
  /** Sessions that are good now. */
  sessions: number
}
type NewAccount = { name: string; email: string; role: Role; post?: string | null | undefined }
/** What is given is changed. */
export type AccountChange = {
  name?: string | undefined
  role?: Role | undefined
  post?: string | null | undefined
  off?: boolean | undefined
}
export type Problem = { path: string; message: string }
/** `secret` of a link, valid `until` (wall time). */
export type MadeLink = { person: string; secret: string; until: number }

export type ApiToken = { id: string; label: string; role: Role; madeAt: number; usedAt: number | null }

/** Who made a change: a person's id, or one of these. */
export type Author = string
/** The `sunup` command. */
export const BY_COMMAND: Author = 'cli'
/** Sunup itself: the demo's invented people. */
export const BY_SUNUP: Author = 'sunup'

/** A change as it was recorded, of one of the kinds of protocol/peopleChanges.ts. `at`: wall time. */
export type RecordedChange = PeopleChange extends infer C
  ? C extends PeopleChange
    ? Omit<C, 'at'> & { at: number }
    : never
  : never
/** Newest first. `timeZone`: the county's, of the latest day that is kept. */
export type ChangesPage = { changes: RecordedChange[]; more: boolean; timeZone: string | null }

/**
 * What administrators do with people and with the tokens of programs. Every change is recorded with its author by
 * the same statement that makes it; what changes nothing is not.
 */
export type PeopleAdmin = {
  /** By name; programs are not among them. */
  accounts(): Promise<Account[]>
  /** Makes an account and the link by which its owner sets a password. */
  invite(
    account: NewAccount,
    by: Author,
  ): Promise<{ ok: true; link: MadeLink } | { ok: false; problems: Problem[] }>
  /**
   * A changed role and `off` end the person's sessions at once; a changed post brings their pages round. The last
   * active administrator can be neither switched off nor given another role. null: there is no such account.
   */
  changeAccount(
    id: string,
    change: AccountChange,
    by: Author,
  ): Promise<{ ok: true } | { ok: false; problems: Problem[] } | null>
  /** A fresh link for somebody who is there; earlier ones to set a password are void. null: nobody, or switched off. */
  linkFor(id: string, purpose: LinkPurpose, by: Author): Promise<MadeLink | null>
  /** Tokens that are good, latest first. */
  tokens(): Promise<ApiToken[]>
  /** A bearer token of a program, which is a person of its own with that role. The token is shown once. */
  makeProgramToken(label: string, role: TokenRole, by: Author): Promise<{ id: string; token: string }>
  /** false: there was none, or it has ended. */
  endToken(id: string, by: Author): Promise<boolean>
  /** The record, `limit` changes older than the position `before` (or the newest). */
  changes(page: { before?: number | undefined; limit: number }): Promise<ChangesPage>
}

export type Access = PeopleAdmin & {
  /** The device of a key, from memory where it is known; null: unknown or revoked. */
  deviceOfKey(key: string): Promise<Device | null>
  devicesOf(day: string): Promise<Device[]>
  /**
   * A new single-use code of 10 characters from an alphabet without look-alikes; only its hash is stored. Who is
   * enrolled by it takes the place of the device `replaces`, unless somebody has before.
   */
  issueCode(day: string, precinct: string, replaces?: string): Promise<string>
  enrol(code: string, label: string, address: string, beside?: Beside): Promise<EnrolOutcome>
  revoke(deviceId: string): Promise<Device | null>
  /** Called at once when a device is revoked or replaced or a person's session ends, so that sockets can be closed. */
  onRevoked(listener: (what: { device?: string; person?: string }) => void): () => void

  /**
   * A one-time sign-in link's secret, for a person who is made or overwritten. Opening it shows a page with a
   * button; only the button (POST) uses it up. `by`: Sunup itself where nothing is said, here and below.
   */
  makeLink(person: Person, validMs: number, by?: Author): Promise<string>
  /** What a link is for and whose it is, without using it; null: it is not good. */
  lookAtLink(secret: string): Promise<{ purpose: LinkPurpose; person: Person; email: string | null } | null>
  /** Uses a sign-in link up. null: unknown, used, too old, or a link to set a password. */
  spendLink(secret: string): Promise<Entered | null>
  /** Uses a password link up: sets the password, ends the person's other sessions and begins one. */
  setPassword(secret: string, password: string): Promise<SignInOutcome>
  /** `browser`: the secret by which the browser is known, or null. `address`: where the try comes from. */
  signIn(
    email: string,
    password: string,
    from: { address: string; browser: string | null },
  ): Promise<SignInOutcome>
  personOfSession(session: string): Promise<Person | null>
  endSession(session: string): Promise<void>
  /** A bearer token that speaks as this person, for as long as they are no administrator. */
  makeToken(person: Person, by?: Author): Promise<string>
  /** null: unknown, ended, of somebody who is off, or of an administrator: no token acts as one. */
  personOfToken(token: string): Promise<Person | null>
  /** A person with the same id is overwritten; a changed role ends their sessions. */
  addPerson(person: Person, by?: Author): Promise<void>
  /** By name: everybody who ever had an account, programs too, for the names in the record. */
  people(): Promise<Person[]>
}
