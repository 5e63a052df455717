import { type Access, type Author, BY_SUNUP, type Device, type EnrolOutcome, type Person } from './access.ts'
import { makePeople } from './people.ts'
import { addressGroup, makeRates } from './rates.ts'
import { hashSecret, makeCode, makeId, makeSecret, normaliseCode } from './secrets.ts'
import { makeSignIn } from './signIn.ts'
import type { AccessStore, Ending } from './store.ts'

export const ACCESS_LIMITS = {
  /** Devices of a very large county; beyond it the one that was asked for longest ago is read again. */
  cachedDevices: 50_000,
  /** How long a key is believed without asking the store: bounds the delay where another process revoked it. */
  cacheMs: 30_000,
  /** Addresses remembered for their wrong codes, about 100 bytes each. */
  addresses: 10_000,
  labelLength: 60,
  /** A token's last use is noted no oftener: whether a token is in use at all is what is asked. */
  tokenNotedMs: 60 * 60_000,
} as const

export type AccessDeps = {
  store: AccessStore
  /** Wall time, milliseconds. */
  now: () => number
  /** Wrong codes a minute: of one address, and of all together. */
  enrolRate: { perAddressPerMinute: number; inAllPerMinute: number }
}

export type RunningAccess = Access & {
  /**
   * Ends what has expired, and tells the listeners of it and of everything that other processes ended since the
   * last call. Called every ten seconds or so, and once before anybody is let in.
   */
  sweep(): Promise<void>
}

const messages = {
  'wrong-code':
    'That is not one of our codes. A code has ten letters and digits and never I, L, O, U, 0 or 1.',
  'used-code': 'That code has been used. Ask the elections office for a new one.',
  'day-closed': 'The day of that code is closed.',
  'other-day': 'That code is for another day than the one this tablet serves. It is not used up.',
  'served-already': 'This tablet already serves the precinct of that code. The code is not used up.',
} as const

/**
 * Kept true: of callers with one code exactly one gets a key; a key is refused from the moment `revoke` resolves,
 * also for a look-up that was under way; no secret is stored or logged, only its hash.
 */
export function makeAccess({ store, now, enrolRate }: AccessDeps): RunningAccess {
  const byKey = new Map<string, { device: Device; readAt: number }>()
  const listeners = new Set<(what: { device?: string; person?: string }) => void>()
  const perAddress = makeRates(enrolRate.perAddressPerMinute, ACCESS_LIMITS.addresses)
  const inAll = makeRates(enrolRate.inAllPerMinute, 1)
  let revocations = 0
  /** How often the sessions of each person have ended, as far as the listeners here know; null: not looked yet. */
  let endings: Map<string, number> | null = null

  function remember(keyHash: string, device: Device): void {
    byKey.delete(keyHash)
    byKey.set(keyHash, { device, readAt: now() })
    if (byKey.size > ACCESS_LIMITS.cachedDevices) byKey.delete(byKey.keys().next().value!)
  }

  /** What is known of a device is so no more: the next look-up asks the store, and its sockets are closed. */
  function forget(device: string): void {
    revocations += 1
    for (const [keyHash, known] of byKey) if (known.device.id === device) byKey.delete(keyHash)
    tell({ device })
  }

  function tell(what: { device?: string; person?: string }): void {
    for (const listener of listeners) listener(what)
  }

  function ended({ person, ended: times }: Ending): void {
    endings?.set(person, Math.max(times, endings.get(person) ?? 0))
    tell({ person })
  }

  const signIn = makeSignIn({ store, now, ended })
  const people = makePeople({ store, now, ended })

  async function addPerson(person: Person, by: Author = BY_SUNUP): Promise<void> {
    const ending = await store.addPerson(person, now(), by)
    if (ending) ended(ending)
  }

  return {
    ...signIn,
    ...people,

    async deviceOfKey(key) {
      const keyHash = hashSecret(key)
      const known = byKey.get(keyHash)
      if (known && now() - known.readAt < ACCESS_LIMITS.cacheMs) return known.device
      for (;;) {
        const before = revocations
        const device = await store.deviceOfKey(keyHash)
        // A revocation during the reading may have come after what was read: read again.
        if (before !== revocations) continue
        if (device === null || device.revokedAt !== null) {
          byKey.delete(keyHash)
          return null
        }
        remember(keyHash, device)
        return device
      }
    },

    devicesOf: day => store.devicesOf(day),

    async issueCode(day, precinct, replaces) {
      const code = makeCode()
      const hash = hashSecret(normaliseCode(code)!)
      await store.addCode({ hash, day, precinct, issuedAt: now(), replaces: replaces ?? null })
      return code
    },

    async enrol(typed, label, address, beside): Promise<EnrolOutcome> {
      const group = addressGroup(address)
      const wait = perAddress.take(group, now()) || inAll.take('', now())
      if (wait > 0) {
        const seconds = Math.ceil(wait / 1_000)
        return {
          ok: false,
          reason: 'too-many',
          message: `Too many attempts. Try again in ${seconds} s.`,
          retryAfter: wait,
        }
      }
      const code = normaliseCode(typed)
      if (code === null) return { ok: false, reason: 'wrong-code', message: messages['wrong-code'] }
      const key = makeSecret()
      const keyHash = hashSecret(key)
      const before = revocations
      const device = {
        id: makeId('d'),
        label: label.slice(0, ACCESS_LIMITS.labelLength),
        keyHash,
        enrolledAt: now(),
      }
      const outcome = await store.spendCode(hashSecret(code), device, beside)
      if (!outcome.ok) return { ...outcome, message: messages[outcome.reason] }
      // The rates are there against guessing: a good code costs nothing, so a warehouse may enrol 200 tablets.
      perAddress.giveBack(group)
      inAll.giveBack('')
      if (before === revocations) remember(keyHash, outcome.device)
      if (outcome.replaced !== null) forget(outcome.replaced)
      return { ok: true, device: outcome.device, key, replaced: outcome.replaced }
    },

    async revoke(deviceId) {
      const device = await store.revokeDevice(deviceId, now())
      // Also where another process was first: its sockets and its place in memory are here.
      forget(deviceId)
      return device
    },

    onRevoked(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },

    async makeLink(person, validMs, by = BY_SUNUP) {
      const secret = makeSecret()
      await addPerson(person, by)
      const link = { hash: hashSecret(secret), person: person.id, expiresAt: now() + validMs }
      // A link of somebody who is switched off is none: it is refused like any other that is not good.
      await store.addLink({ ...link, purpose: 'sign-in' }, now(), by)
      return secret
    },

    personOfSession: session => store.personOfSession(hashSecret(session), now()),

    async endSession(session) {
      const ending = await store.endSession(hashSecret(session))
      if (ending) ended(ending)
    },

    async makeToken(person, by = BY_SUNUP) {
      const token = makeSecret()
      await addPerson(person, by)
      const made = { id: makeId('token'), hash: hashSecret(token), label: person.name, madeAt: now() }
      await store.addToken({ ...made, person: person.id }, by)
      return token
    },

    async personOfToken(token) {
      const hash = hashSecret(token)
      const found = await store.personOfToken(hash)
      // A token has no end: whoever came by an administrator's could make accounts as long as it is good.
      if (found === null || found.person.role === 'admin') return null
      const at = now()
      // A note only: where it can't be written, the token is no less good.
      if (found.usedAt === null || at - found.usedAt >= ACCESS_LIMITS.tokenNotedMs)
        await store.usedToken(hash, at).catch(() => {})
      return found.person
    },

    addPerson,
    people: () => store.people(),

    async sweep() {
      for (const ending of await store.removeExpired(now())) ended(ending)
      const found = await store.endings()
      if (endings === null) {
        endings = new Map(found.map(ending => [ending.person, ending.ended]))
        return
      }
      for (const ending of found) if (ending.ended > (endings.get(ending.person) ?? 0)) ended(ending)
    },
  }
}
