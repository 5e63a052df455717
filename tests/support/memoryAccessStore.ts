import type { Device, Person } from '../../server/access/access.ts'
import type { AccessStore } from '../../server/access/store.ts'

/** A table in memory that keeps the contract of AccessStore (tests/server/accessContract.ts holds both to it). */
export function memoryAccessStore(isClosed: (day: string) => boolean = () => false): AccessStore {
  const codes = new Map<string, { day: string; precinct: string; used: boolean }>()
  const devices = new Map<string, Device>()
  const keys = new Map<string, string>()
  const persons = new Map<string, Person>()
  const links = new Map<string, { person: string; expiresAt: number }>()
  const sessions = new Map<string, { person: string; expiresAt: number }>()
  const tokens = new Map<string, string>()
  const copy = (device: Device | undefined) => (device ? { ...device } : null)
  return {
    deviceOfKey: async hash => copy(devices.get(keys.get(hash) ?? '')),
    devicesOf: async day =>
      [...devices.values()].filter(device => device.day === day).map(device => ({ ...device })),
    async revokeDevice(id, at) {
      const device = devices.get(id)
      if (!device || device.revokedAt !== null) return null
      device.revokedAt = at
      return copy(device)
    },
    async addCode({ hash, day, precinct }) {
      codes.set(hash, { day, precinct, used: false })
    },
    async spendCode(hash, { id, label, keyHash, enrolledAt }) {
      const code = codes.get(hash)
      if (!code) return { ok: false, reason: 'wrong-code' }
      if (code.used) return { ok: false, reason: 'used-code' }
      if (isClosed(code.day)) return { ok: false, reason: 'day-closed' }
      code.used = true
      const device = { id, day: code.day, precinct: code.precinct, label, enrolledAt, revokedAt: null }
      devices.set(id, device)
      keys.set(keyHash, id)
      return { ok: true, device: { ...device } }
    },
    async addPerson(person) {
      persons.set(person.id, { ...person })
    },
    people: async () => [...persons.values()].sort((a, b) => a.name.localeCompare(b.name)),
    async addLink({ hash, person, expiresAt }) {
      links.set(hash, { person, expiresAt })
    },
    async spendLink(hash, session, at) {
      const link = links.get(hash)
      if (!link || link.expiresAt <= at) return null
      links.delete(hash)
      sessions.set(session.hash, { person: link.person, expiresAt: session.expiresAt })
      return persons.get(link.person) ?? null
    },
    async personOfSession(hash, at) {
      const session = sessions.get(hash)
      return session && session.expiresAt > at ? (persons.get(session.person) ?? null) : null
    },
    async endSession(hash) {
      const session = sessions.get(hash)
      sessions.delete(hash)
      return session?.person ?? null
    },
    async addToken({ hash, person }) {
      tokens.set(hash, person)
    },
    personOfToken: async hash => persons.get(tokens.get(hash) ?? '') ?? null,
    async removeExpired(at) {
      for (const [hash, link] of links) if (link.expiresAt <= at) links.delete(hash)
      const ended = [...sessions].filter(([, session]) => session.expiresAt <= at)
      for (const [hash] of ended) sessions.delete(hash)
      return [...new Set(ended.map(([, session]) => session.person))]
    },
  }
}
