import { memoryAdapter } from 'better-auth/adapters/memory'
import type { Author, Device, LinkPurpose, Person, RecordedChange } from '../../server/access/access.ts'
import type { AccessStore, Ending } from '../../server/access/store.ts'

type PersonRow = Person & {
  email: string | null
  emailVerified: boolean
  createdAt: Date
  updatedAt: Date
  kind: 'person' | 'program'
  offAt: number | null
  ended: number
}
type SessionRow = { id: string; token: string; userId: string; expiresAt: Date }
type CredentialRow = { id: string; userId: string; accountId: string; providerId: string; password: string }
type LinkRow = { hash: string; person: string; expiresAt: number; purpose: LinkPurpose; used: boolean }
type TokenRow = {
  id: string
  hash: string
  person: string
  label: string
  madeAt: number
  usedAt: number | null
  ended: boolean
}

/** A table in memory that keeps the contract of AccessStore (tests/server/accessContract.ts holds both to it). */
export function memoryAccessStore(isClosed: (day: string) => boolean = () => false): AccessStore {
  const codes = new Map<string, { day: string; precinct: string; replaces: string | null; used: boolean }>()
  const devices = new Map<string, Device>()
  const keys = new Map<string, string>()
  const tables = {
    person: [] as PersonRow[],
    credential: [] as CredentialRow[],
    session: [] as SessionRow[],
  }
  const links: LinkRow[] = []
  const browsers = new Map<string, { person: string; until: number }>()
  const tokens: TokenRow[] = []
  const record: RecordedChange[] = []

  const copy = (device: Device | undefined) => (device ? { ...device } : null)
  const rowOf = (id: string) => tables.person.find(row => row.id === id)
  const isOn = (id: string) => rowOf(id)?.offAt === null
  const personOf = (id: string): Person | null => {
    const row = rowOf(id)
    return row ? { id: row.id, name: row.name, role: row.role, post: row.post ?? null } : null
  }
  const hasPassword = (id: string) => tables.credential.some(row => row.userId === id)
  const isOf = (row: PersonRow) =>
    row.offAt !== null ? 'off' : row.email === null || hasPassword(row.id) ? 'active' : 'invited'
  const count = (id: string): Ending => {
    const row = rowOf(id)!
    row.ended += 1
    return { person: id, ended: row.ended }
  }
  const keepSessions = (keep: (row: SessionRow) => boolean) => {
    const gone = tables.session.filter(row => !keep(row))
    for (const row of gone) tables.session.splice(tables.session.indexOf(row), 1)
    return gone
  }
  const begin = (person: string, { hash, expiresAt }: { hash: string; expiresAt: number }) =>
    void tables.session.push({
      id: `s-${hash.slice(0, 30)}`,
      token: hash,
      userId: person,
      expiresAt: new Date(expiresAt),
    })
  const goodLink = (hash: string, at: number) =>
    links.find(link => link.hash === hash && !link.used && link.expiresAt > at && isOn(link.person))
  const newRow = (person: Person, at: number): PersonRow => ({
    ...person,
    post: person.post ?? null,
    email: null,
    emailVerified: false,
    createdAt: new Date(at),
    updatedAt: new Date(at),
    kind: 'person',
    offAt: null,
    ended: 0,
  })
  const note = (at: number, by: Author, kind: RecordedChange['kind'], about: string, what: object) =>
    void record.push({
      position: record.length + 1,
      at,
      by: { id: by, name: null },
      about: { id: about, name: null },
      kind,
      what: JSON.parse(JSON.stringify(what)),
    } as RecordedChange)
  const begun = ({ role, post }: Person) => ({ role, post: post ?? undefined })
  const difference = (was: PersonRow, is: PersonRow, sessions: number) => ({
    role: was.role === is.role ? undefined : { was: was.role, is: is.role },
    post: was.post === is.post ? undefined : { was: was.post ?? undefined, is: is.post ?? undefined },
    name: was.name === is.name ? undefined : true,
    sessionsEnded: sessions || undefined,
  })
  const differs = (was: PersonRow, is: PersonRow) =>
    was.name !== is.name || was.role !== is.role || was.post !== is.post || was.offAt !== is.offAt
  const good = (gone: SessionRow[], at: number) => gone.filter(row => row.expiresAt.getTime() > at).length
  const byName = (a: { name: string }, b: { name: string }) => a.name.localeCompare(b.name)

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
    async addCode({ hash, day, precinct, replaces }) {
      codes.set(hash, { day, precinct, replaces, used: false })
    },
    async spendCode(hash, { id, label, keyHash, enrolledAt }, beside) {
      const code = codes.get(hash)
      if (!code) return { ok: false, reason: 'wrong-code' }
      if (code.used) return { ok: false, reason: 'used-code' }
      if (isClosed(code.day)) return { ok: false, reason: 'day-closed' }
      if (beside && code.day !== beside.day) return { ok: false, reason: 'other-day' }
      if (beside?.precincts.includes(code.precinct)) return { ok: false, reason: 'served-already' }
      code.used = true
      const { day, precinct } = code
      const device = { id, day, precinct, label, enrolledAt, revokedAt: null, replacedAt: null }
      devices.set(id, device)
      keys.set(keyHash, id)
      const old = devices.get(code.replaces ?? '')
      const replaced = old?.day === day && old.precinct === precinct && old.replacedAt === null ? old : null
      if (replaced) replaced.replacedAt = enrolledAt
      return { ok: true, device: { ...device }, replaced: replaced?.id ?? null }
    },

    identities: memoryAdapter(tables),

    async addPerson(person, at, by) {
      const row = rowOf(person.id)
      if (!row) {
        tables.person.push(newRow(person, at))
        note(at, by, 'PersonAdded', person.id, begun(person))
        return null
      }
      const was = { ...row }
      Object.assign(row, { name: person.name, role: person.role, post: person.post ?? null })
      const sameRole = was.role === row.role
      const gone = sameRole ? [] : keepSessions(session => session.userId !== person.id)
      if (differs(was, row)) note(at, by, 'PersonChanged', row.id, difference(was, row, good(gone, at)))
      return sameRole ? null : count(person.id)
    },
    people: async () => tables.person.map(row => personOf(row.id)!).sort(byName),
    accounts: async at =>
      tables.person
        .filter(row => row.kind === 'person')
        .map(row => ({
          id: row.id,
          name: row.name,
          email: row.email,
          role: row.role,
          post: row.post ?? null,
          is: isOf(row) as 'off' | 'active' | 'invited',
          sessions: tables.session.filter(s => s.userId === row.id && s.expiresAt.getTime() > at).length,
        }))
        .sort(byName),
    async addAccount(account, link, at, by) {
      if (tables.person.some(row => row.email === account.email)) return false
      tables.person.push({ ...newRow(account, at), email: account.email })
      links.push({ ...link, person: account.id, purpose: 'password', used: false })
      note(at, by, 'PersonInvited', account.id, begun(account))
      return true
    },
    async changeAccount(id, { name, role, post, off }, at, by) {
      const row = rowOf(id)
      if (row?.kind !== 'person') return 'unknown'
      const admins = tables.person.filter(
        r => r.role === 'admin' && r.kind === 'person' && isOf(r) === 'active',
      )
      const leaves = off === true || (role !== undefined && role !== 'admin')
      if (leaves && admins.includes(row) && admins.length === 1) return 'last-admin'
      const ends = (role !== undefined && role !== row.role) || (off === true && row.offAt === null)
      const moves = post !== undefined && post !== row.post
      const was = { ...row }
      if (name !== undefined) row.name = name
      if (role !== undefined) row.role = role
      if (post !== undefined) row.post = post
      if (off !== undefined) row.offAt = off ? (row.offAt ?? at) : null
      const gone = ends ? keepSessions(session => session.userId !== id) : []
      if (off) for (const link of links) if (link.person === id) link.used = true
      if (differs(was, row)) {
        const switched = row.offAt === null ? 'PersonSwitchedOn' : 'PersonSwitchedOff'
        const kind = (was.offAt === null) === (row.offAt === null) ? 'PersonChanged' : switched
        note(at, by, kind, id, difference(was, row, good(gone, at)))
      }
      return { ending: ends || moves ? count(id) : null }
    },
    counties: async () => ['Ellery County'],

    async addLink(link, at, by) {
      if (!isOn(link.person)) return false
      if (link.purpose === 'password')
        for (const other of links)
          if (other.person === link.person && other.purpose === 'password') other.used = true
      links.push({ ...link, used: false })
      note(at, by, 'LinkMade', link.person, { for: link.purpose })
      return true
    },
    async linkOf(hash, at) {
      const link = goodLink(hash, at)
      if (!link) return null
      return { purpose: link.purpose, person: personOf(link.person)!, email: rowOf(link.person)!.email }
    },
    async spendLink(hash, session) {
      const link = goodLink(hash, session.begunAt)
      if (link?.purpose !== 'sign-in') return null
      link.used = true
      begin(link.person, session)
      return personOf(link.person)
    },
    async spendPasswordLink(hash, { password, session, browser }) {
      const link = goodLink(hash, session.begunAt)
      if (link?.purpose !== 'password') return null
      link.used = true
      const { person } = link
      const there = tables.credential.find(row => row.userId === person)
      if (there) there.password = password
      else
        tables.credential.push({
          id: `c-${person}`,
          userId: person,
          accountId: person,
          providerId: 'credential',
          password,
        })
      const gone = keepSessions(row => row.userId !== person)
      note(session.begunAt, person, 'PasswordSet', person, {
        sessionsEnded: good(gone, session.begunAt) || undefined,
      })
      for (const [known, { person: of }] of browsers) if (of === person) browsers.delete(known)
      browsers.set(browser.hash, { person, until: browser.until })
      begin(person, session)
      return { person: personOf(person)!, ending: count(person) }
    },
    async personOfSession(hash, at) {
      const session = tables.session.find(row => row.token === hash && row.expiresAt.getTime() > at)
      return session && isOn(session.userId) ? personOf(session.userId) : null
    },
    async endSession(hash) {
      const [gone] = keepSessions(row => row.token !== hash)
      return gone ? count(gone.userId) : null
    },
    endings: async () =>
      tables.person.filter(row => row.ended > 0).map(row => ({ person: row.id, ended: row.ended })),

    async knowsBrowser(hash, email, at) {
      const known = browsers.get(hash)
      return known !== undefined && known.until > at && rowOf(known.person)?.email === email
    },
    async rememberBrowser({ hash, person, until }) {
      browsers.set(hash, { person, until })
    },

    async addToken(token, by) {
      tokens.push({ ...token, usedAt: null, ended: false })
      note(token.madeAt, by, 'TokenMade', token.id, { role: rowOf(token.person)!.role })
    },
    async addProgram(program, token, by) {
      tables.person.push({ ...newRow(program, token.madeAt), kind: 'program' })
      tokens.push({ ...token, person: program.id, usedAt: null, ended: false })
      note(token.madeAt, by, 'TokenMade', token.id, { role: program.role })
    },
    async personOfToken(hash) {
      const token = tokens.find(row => row.hash === hash && !row.ended)
      return token && isOn(token.person) ? { person: personOf(token.person)!, usedAt: token.usedAt } : null
    },
    async usedToken(hash, at) {
      for (const token of tokens) if (token.hash === hash) token.usedAt = at
    },
    tokens: async () =>
      tokens
        .filter(token => !token.ended)
        .map(({ id, label, person, madeAt, usedAt }) => ({
          id,
          label,
          role: rowOf(person)!.role,
          madeAt,
          usedAt,
        }))
        .sort((a, b) => b.madeAt - a.madeAt || a.id.localeCompare(b.id)),
    async endToken(id, at, by) {
      const token = tokens.find(row => row.id === id && !row.ended)
      if (!token) return null
      token.ended = true
      note(at, by, 'TokenEnded', id, { role: rowOf(token.person)!.role })
      return count(token.person)
    },
    async changes({ before = Number.POSITIVE_INFINITY, limit }) {
      const older = record.filter(change => change.position < before).reverse()
      const named = older.slice(0, limit).map(change => ({
        ...change,
        by: { ...change.by, name: rowOf(change.by.id)?.name ?? null },
        about: {
          ...change.about,
          name: rowOf(change.about.id)?.name ?? tokens.find(t => t.id === change.about.id)?.label ?? null,
        },
      }))
      return { changes: named, more: older.length > limit, timeZone: 'America/New_York' }
    },

    async removeExpired(at) {
      for (const link of links.filter(row => row.expiresAt <= at)) links.splice(links.indexOf(link), 1)
      for (const [hash, { until }] of browsers) if (until <= at) browsers.delete(hash)
      const ended = keepSessions(row => row.expiresAt.getTime() > at)
      return [...new Set(ended.map(row => row.userId))].map(count)
    },
  }
}
