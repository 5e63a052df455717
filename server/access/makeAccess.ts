import type { Access, Device, EnrolOutcome } from './access.ts'
import { addressGroup, makeRates } from './rates.ts'
import { hashSecret, makeCode, makeId, makeSecret, normaliseCode } from './secrets.ts'
import type { AccessStore } from './store.ts'

export const ACCESS_LIMITS = {
  /** A long election day of one operator: before reporting time until after the last return. */
  sessionMs: 16 * 60 * 60_000,
  /** Devices of a very large county; beyond it the one that was asked for longest ago is read again. */
  cachedDevices: 50_000,
  /** How long a key is believed without asking the store: bounds the delay where another process revoked it. */
  cacheMs: 30_000,
  /** Addresses remembered for their wrong codes, about 100 bytes each. */
  addresses: 10_000,
  labelLength: 60,
} as const

export type AccessDeps = {
  store: AccessStore
  /** Wall time, milliseconds. */
  now: () => number
  /** Wrong codes a minute: of one address, and of all together. */
  enrolRate: { perAddressPerMinute: number; inAllPerMinute: number }
}

export type RunningAccess = Access & {
  /** Ends what has expired and tells the listeners: to be called every minute or so. */
  sweep(): Promise<void>
}

const messages = {
  'wrong-code':
    'That is not one of our codes. A code has ten letters and digits and never I, L, O, U, 0 or 1.',
  'used-code': 'That code has been used. Ask the elections office for a new one.',
  'day-closed': 'The day of that code is closed.',
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

  function remember(keyHash: string, device: Device): void {
    byKey.delete(keyHash)
    byKey.set(keyHash, { device, readAt: now() })
    if (byKey.size > ACCESS_LIMITS.cachedDevices) byKey.delete(byKey.keys().next().value!)
  }

  function tell(what: { device?: string; person?: string }): void {
    for (const listener of listeners) listener(what)
  }

  return {
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

    async issueCode(day, precinct) {
      const code = makeCode()
      await store.addCode({ hash: hashSecret(normaliseCode(code)!), day, precinct, issuedAt: now() })
      return code
    },

    async enrol(typed, label, address): Promise<EnrolOutcome> {
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
      const outcome = await store.spendCode(hashSecret(code), {
        id: makeId('d'),
        label: label.slice(0, ACCESS_LIMITS.labelLength),
        keyHash,
        enrolledAt: now(),
      })
      if (!outcome.ok) return { ...outcome, message: messages[outcome.reason] }
      // The rates are there against guessing: a good code costs nothing, so a warehouse may enrol 200 tablets.
      perAddress.giveBack(group)
      inAll.giveBack('')
      if (before === revocations) remember(keyHash, outcome.device)
      return { ok: true, device: outcome.device, key }
    },

    async revoke(deviceId) {
      const device = await store.revokeDevice(deviceId, now())
      // Also where another process was first: its sockets and its place in memory are here.
      revocations += 1
      for (const [keyHash, known] of byKey) if (known.device.id === deviceId) byKey.delete(keyHash)
      tell({ device: deviceId })
      return device
    },

    onRevoked(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },

    async makeLink(person, validMs) {
      const secret = makeSecret()
      await store.addPerson(person)
      await store.addLink({ hash: hashSecret(secret), person: person.id, expiresAt: now() + validMs })
      return secret
    },

    async spendLink(secret) {
      const session = makeSecret()
      const expiresAt = now() + ACCESS_LIMITS.sessionMs
      const person = await store.spendLink(
        hashSecret(secret),
        { hash: hashSecret(session), expiresAt },
        now(),
      )
      return person && { session, person, expiresAt }
    },

    personOfSession: session => store.personOfSession(hashSecret(session), now()),

    async endSession(session) {
      const person = await store.endSession(hashSecret(session))
      if (person !== null) tell({ person })
    },

    async makeToken(person) {
      const token = makeSecret()
      await store.addPerson(person)
      await store.addToken({ hash: hashSecret(token), person: person.id, createdAt: now() })
      return token
    },

    personOfToken: token => store.personOfToken(hashSecret(token)),
    addPerson: person => store.addPerson(person),
    people: () => store.people(),

    async sweep() {
      for (const person of await store.removeExpired(now())) tell({ person })
    },
  }
}
