import type { Access, Entered, SignInOutcome } from './access.ts'
import { type Credentials, type FreshSession, makeCredentials } from './credentials.ts'
import { passwordProblem } from './passwordRules.ts'
import { addressGroup, makeRates } from './rates.ts'
import { hashSecret, makeSecret } from './secrets.ts'
import type { AccessStore, Ending } from './store.ts'

export const SIGN_IN_LIMITS = {
  /** A long election day of one operator: before reporting time until after the last return. Absolute. */
  sessionMs: 16 * 60 * 60_000,
  /** Wrong passwords of one address: a county office behind one address mistypes less. */
  perAddressPerMinute: 20,
  /** Wrong passwords of one e-mail from browsers that are not known to it, wherever they come from. */
  perAccountPerMinute: 6,
  /** Wrong passwords from a browser that is known: mistyping, whatever strangers do meanwhile. */
  perBrowserPerMinute: 10,
  /** Wrong passwords of strangers in all: a quarter of what two at a time can look up. */
  inAllPerMinute: 120,
  /** Names remembered by each of these, about 100 bytes each; the one that was quiet longest is forgotten. */
  names: 10_000,
  /** Passwords looked at in one moment: 32 MiB and one of node's four helper threads each. */
  atOnce: 2,
  /** Waiting for that: about twelve seconds' work. Above it `too-many`. */
  waiting: 100,
  /** How long a browser is known: from one election to the next but one. */
  browserMs: 400 * 24 * 60 * 60_000,
} as const

/**
 * Signing in, and setting the password that one signs in with.
 *
 * Kept true: an answer and its time don't tell whether an e-mail is known. Guessing is slowed, and nothing is ever
 * locked: NIST SP 800-63B would end a password after 100 wrong tries in a row, and with that anybody could lock the
 * desk out on election morning. Instead strangers share few tries a minute, and a browser in which the person has
 * signed in before has tries of its own that strangers can't use up. A sign-in link works whatever is slowed.
 */
export function makeSignIn(deps: {
  store: AccessStore
  now: () => number
  ended: (ending: Ending) => void
}): Pick<Access, 'lookAtLink' | 'spendLink' | 'setPassword' | 'signIn'> {
  const { store, now } = deps
  const credentials: Credentials = makeCredentials(store.identities)
  const perAddress = makeRates(SIGN_IN_LIMITS.perAddressPerMinute, SIGN_IN_LIMITS.names)
  const perAccount = makeRates(SIGN_IN_LIMITS.perAccountPerMinute, SIGN_IN_LIMITS.names)
  const perBrowser = makeRates(SIGN_IN_LIMITS.perBrowserPerMinute, SIGN_IN_LIMITS.names)
  const inAll = makeRates(SIGN_IN_LIMITS.inAllPerMinute, 1)
  const gate = makeGate(SIGN_IN_LIMITS.atOnce, SIGN_IN_LIMITS.waiting)

  function freshSession(): { secret: string; session: FreshSession } {
    const secret = makeSecret()
    const begunAt = now()
    return {
      secret,
      session: { hash: hashSecret(secret), begunAt, expiresAt: begunAt + SIGN_IN_LIMITS.sessionMs },
    }
  }

  /** Spends one try. `giveBack` where it was a good one: the rates are there against guessing. */
  function takeTry(
    email: string,
    address: string,
    browser: string | null,
  ): { wait: number; giveBack: () => void } {
    const rates: Array<[ReturnType<typeof makeRates>, string]> =
      browser === null
        ? [
            [perAddress, addressGroup(address)],
            [perAccount, email],
            [inAll, ''],
          ]
        : [[perBrowser, browser]]
    const taken: typeof rates = []
    const giveBack = () => {
      for (const [rate, name] of taken) rate.giveBack(name)
    }
    for (const [rate, name] of rates) {
      const wait = rate.take(name, now())
      if (wait > 0) {
        // Of one that is refused nobody else's tries are used up.
        giveBack()
        return { wait, giveBack }
      }
      taken.push([rate, name])
    }
    return { wait: 0, giveBack }
  }

  return {
    async lookAtLink(secret) {
      return store.linkOf(hashSecret(secret), now())
    },

    async spendLink(secret): Promise<Entered | null> {
      const fresh = freshSession()
      const person = await store.spendLink(hashSecret(secret), fresh.session)
      return person && { session: fresh.secret, person, expiresAt: fresh.session.expiresAt }
    },

    async setPassword(secret, password): Promise<SignInOutcome> {
      const hash = hashSecret(secret)
      const link = await store.linkOf(hash, now())
      if (link === null || link.purpose !== 'password') return { ok: false, reason: 'no-link' }
      const { person, email } = link
      const problem = passwordProblem(password, {
        name: person.name,
        email,
        counties: await store.counties(),
      })
      if (problem !== null) return { ok: false, reason: 'refused', message: problem }
      const hashed = await gate(() => credentials.hash(password))
      if (hashed === null) return { ok: false, reason: 'too-many', retryAfter: 2_000 }
      const fresh = freshSession()
      const browser = { secret: makeSecret(), until: now() + SIGN_IN_LIMITS.browserMs }
      const spent = await store.spendPasswordLink(hash, {
        password: hashed,
        session: fresh.session,
        browser: { hash: hashSecret(browser.secret), until: browser.until },
      })
      if (spent === null) return { ok: false, reason: 'no-link' }
      deps.ended(spent.ending)
      return {
        ok: true,
        session: fresh.secret,
        person: spent.person,
        expiresAt: fresh.session.expiresAt,
        browser,
      }
    },

    async signIn(typed, password, { address, browser }): Promise<SignInOutcome> {
      const email = typed.trim().toLowerCase().slice(0, 200)
      const browserHash = browser === null ? null : hashSecret(browser)
      const known = browserHash !== null && (await store.knowsBrowser(browserHash, email, now()))
      const { wait, giveBack } = takeTry(email, address, known ? browserHash : null)
      if (wait > 0) return { ok: false, reason: 'too-many', retryAfter: wait }
      const fresh = freshSession()
      const found = await gate(async () => ({
        person: await credentials.signIn(email, password, fresh.session),
      }))
      if (found === null) {
        giveBack()
        return { ok: false, reason: 'too-many', retryAfter: 2_000 }
      }
      const person = found.person && (await store.personOfSession(fresh.session.hash, now()))
      if (!person) return { ok: false, reason: 'wrong' }
      giveBack()
      const secret = known && browser !== null ? browser : makeSecret()
      const until = now() + SIGN_IN_LIMITS.browserMs
      await store.rememberBrowser({ hash: hashSecret(secret), person: person.id, until })
      return {
        ok: true,
        session: fresh.secret,
        person,
        expiresAt: fresh.session.expiresAt,
        browser: { secret, until },
      }
    },
  }
}

/** Runs `atOnce` at a time; `waiting` may wait. null: more than that were waiting, and it was not run. */
function makeGate(atOnce: number, waiting: number): <T>(work: () => Promise<T>) => Promise<T | null> {
  let running = 0
  const queue: Array<() => void> = []
  return async work => {
    if (running >= atOnce) {
      if (queue.length >= waiting) return null
      // Whoever ends hands the place on, so it stays counted.
      await new Promise<void>(resolve => queue.push(resolve))
    } else running += 1
    try {
      return await work()
    } finally {
      const next = queue.shift()
      if (next) next()
      else running -= 1
    }
  }
}
