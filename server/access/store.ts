import type {
  Account,
  AccountChange,
  ApiToken,
  Author,
  Beside,
  ChangesPage,
  CodeRefusal,
  Device,
  LinkPurpose,
  Person,
} from './access.ts'
import type { FreshSession, IdentityTables } from './credentials.ts'

/** Somebody's sessions ended, for the so-manieth time. */
export type Ending = { person: string; ended: number }

/** Of a token: only the hash comes here. */
type NewToken = { id: string; hash: string; label: string; madeAt: number }

/**
 * Where access keeps what it knows (db/accessStore.ts; tests may give a table in memory). Secrets come here only
 * as hashes. All instants are wall time in milliseconds. What is spent is spent in one statement: of two callers
 * exactly one gets it, and a crash never leaves it half spent. A change about people is recorded with its author by
 * the statement that makes it; nothing is recorded where nothing changed.
 */
export type AccessStore = {
  /** Revoked ones too: the caller looks at `revokedAt`. */
  deviceOfKey(keyHash: string): Promise<Device | null>
  /** In the order of enrolment. */
  devicesOf(day: string): Promise<Device[]>
  /** The device as revoked; null: unknown or revoked before. */
  revokeDevice(id: string, at: number): Promise<Device | null>

  addCode(code: {
    hash: string
    day: string
    precinct: string
    issuedAt: number
    replaces: string | null
  }): Promise<void>
  /**
   * Uses a code up and enrols the device for the code's day and precinct, where that goes with `beside`. `replaced`:
   * the device that the code names, where this is the first that takes its place.
   */
  spendCode(
    hash: string,
    device: { id: string; label: string; keyHash: string; enrolledAt: number },
    beside?: Beside,
  ): Promise<{ ok: true; device: Device; replaced: string | null } | { ok: false; reason: CodeRefusal }>

  /** The tables of sign-in by e-mail: the same people, and the same sessions as here. */
  identities: IdentityTables

  /** A person with the same id is overwritten; where that changes the role, their sessions are deleted. */
  addPerson(person: Person, at: number, by: Author): Promise<Ending | null>
  /** By name; programs and those who are off too. */
  people(): Promise<Person[]>
  /** By name, without programs. */
  accounts(at: number): Promise<Account[]>
  /** Makes the account with the link by which its owner sets a password. false: the e-mail is somebody's already. */
  addAccount(
    account: Person & { email: string },
    link: { hash: string; expiresAt: number },
    at: number,
    by: Author,
  ): Promise<boolean>
  /** `last-admin`: it would leave no active administrator; nothing was changed. */
  changeAccount(
    id: string,
    change: AccountChange,
    at: number,
    by: Author,
  ): Promise<'unknown' | 'last-admin' | { ending: Ending | null }>
  /** Names of the counties that days are kept for. */
  counties(): Promise<string[]>

  /** Makes earlier links of the same person to set a password void, where this is one. false: nobody, or off. */
  addLink(
    link: { hash: string; person: string; expiresAt: number; purpose: LinkPurpose },
    at: number,
    by: Author,
  ): Promise<boolean>
  /** null: unknown, used, expired at `at`, or of somebody who is off. */
  linkOf(
    hash: string,
    at: number,
  ): Promise<{ purpose: LinkPurpose; person: Person; email: string | null } | null>
  /** Uses a sign-in link up and begins the session; null as of linkOf, or for a password. */
  spendLink(hash: string, session: FreshSession): Promise<Person | null>
  /**
   * Uses a password link up: sets the password, deletes the person's sessions, begins this one, knows the browser.
   * The author of that is the person.
   */
  spendPasswordLink(
    hash: string,
    set: { password: string; session: FreshSession; browser: { hash: string; until: number } },
  ): Promise<{ person: Person; ending: Ending } | null>
  /** null: unknown, expired at `at`, or of somebody who is off. */
  personOfSession(hash: string, at: number): Promise<Person | null>
  endSession(hash: string): Promise<Ending | null>
  /** Everybody whose sessions ever ended, and how often. */
  endings(): Promise<Ending[]>

  /** Whether somebody with this e-mail has signed in by a browser of this hash. */
  knowsBrowser(hash: string, email: string, at: number): Promise<boolean>
  rememberBrowser(browser: { hash: string; person: string; until: number }): Promise<void>

  addToken(token: NewToken & { person: string }, by: Author): Promise<void>
  /** Makes the program with its token, whose label is its name. */
  addProgram(program: Person, token: NewToken, by: Author): Promise<void>
  /** null: unknown, ended, or of somebody who is off. */
  personOfToken(hash: string): Promise<{ person: Person; usedAt: number | null } | null>
  /** Notes that it is in use. */
  usedToken(hash: string, at: number): Promise<void>
  /** Latest first; ended ones are left out. */
  tokens(): Promise<ApiToken[]>
  /** null: there was none, or it has ended. */
  endToken(id: string, at: number, by: Author): Promise<Ending | null>

  changes(page: { before?: number | undefined; limit: number }): Promise<ChangesPage>

  /** Deletes links, sessions and browsers that have expired at `at`; whose sessions ended by it. */
  removeExpired(at: number): Promise<Ending[]>
}
