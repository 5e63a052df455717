import { describe, expect, it } from 'vitest'
import type { Person } from '../../server/access/access.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { LINK_VALID_MS } from '../../server/access/people.ts'
import { SIGN_IN_LIMITS } from '../../server/access/signIn.ts'
import type { AccessStore } from '../../server/access/store.ts'

const PASSWORD = 'seven herons over the marsh'
/** An administrator, as far as the record knows. */
const BY = 'person-odile'
const enrolRate = { perAddressPerMinute: 10, inAllPerMinute: 60 }
const here = (address = '192.0.2.7', browser: string | null = null) => ({ address, browser })

/** What signing in and keeping accounts promise, whatever keeps the tables. */
export function signInContract(name: string, open: () => Promise<{ store: AccessStore }>): void {
  async function given() {
    const { store } = await open()
    const clock = { at: Date.UTC(2026, 10, 3, 10) }
    const make = () => makeAccess({ store, now: () => clock.at, enrolRate })
    const access = make()
    const told: unknown[] = []
    access.onRevoked(what => told.push(what))
    const invited = async (role: Person['role'] = 'desk', email = 'rosa@office.example') => {
      const made = await access.invite({ name: 'Rosa Lindqvist', email, role }, BY)
      if (!made.ok) throw new Error(JSON.stringify(made.problems))
      return made.link
    }
    const settled = async (role?: Person['role'], email?: string) => {
      const link = await invited(role, email)
      const set = await access.setPassword(link.secret, PASSWORD)
      if (!set.ok) throw new Error(JSON.stringify(set))
      told.length = 0
      return { ...set, id: link.person }
    }
    return { access, another: make, clock, told, invited, settled }
  }

  describe(`signing in, kept in ${name}`, () => {
    it('takes somebody from invitation to password to a session, and later by e-mail in any letters', async () => {
      const { access, invited, clock } = await given()
      const link = await invited('receiving')
      expect(await access.lookAtLink(link.secret)).toMatchObject({
        purpose: 'password',
        person: { name: 'Rosa Lindqvist', role: 'receiving' },
      })
      expect(await access.accounts()).toMatchObject([
        { id: link.person, email: 'rosa@office.example', is: 'invited', sessions: 0 },
      ])
      const set = await access.setPassword(link.secret, PASSWORD)
      expect(set).toMatchObject({
        ok: true,
        person: { id: link.person },
        expiresAt: clock.at + 16 * 3_600_000,
      })
      expect(await access.accounts()).toMatchObject([{ is: 'active', sessions: 1 }])
      const again = await access.signIn(' Rosa@Office.example ', PASSWORD, here())
      expect(again).toMatchObject({ ok: true, expiresAt: clock.at + 16 * 3_600_000 })
      if (!again.ok) return
      expect(await access.personOfSession(again.session)).toEqual({
        id: link.person,
        name: 'Rosa Lindqvist',
        role: 'receiving',
        post: null,
      })
      clock.at = again.expiresAt
      expect(await access.personOfSession(again.session)).toBeNull()
    })

    it('takes the same password however its letters are composed (NFKC)', async () => {
      const { access, invited } = await given()
      await access.setPassword((await invited()).secret, 'sieben Gänse über dem Fluß'.normalize('NFD'))
      const answer = await access.signIn(
        'rosa@office.example',
        'sieben Gänse über dem Fluß'.normalize('NFC'),
        here(),
      )
      expect(answer.ok).toBe(true)
    })

    it('P14 lets one of several callers with one password link set the password, and leaves a refused one good', async () => {
      const { access, invited } = await given()
      const link = await invited()
      expect(await access.setPassword(link.secret, 'too short')).toMatchObject({ reason: 'refused' })
      const all = await Promise.all(
        ['one', 'two', 'three'].map(word => access.setPassword(link.secret, `${PASSWORD} ${word}`)),
      )
      expect(all.filter(answer => answer.ok)).toHaveLength(1)
      expect(all.filter(answer => !answer.ok && answer.reason === 'no-link')).toHaveLength(2)
    })

    it('P14 does not take a link of one kind for the other, an old one, or one that a newer has made void', async () => {
      const { access, invited, clock } = await given()
      const first = await invited()
      expect(await access.spendLink(first.secret)).toBeNull()
      const second = (await access.linkFor(first.person, 'password', BY))!
      expect(await access.lookAtLink(first.secret)).toBeNull()
      expect(await access.setPassword(first.secret, PASSWORD)).toMatchObject({ reason: 'no-link' })
      const signIn = (await access.linkFor(first.person, 'sign-in', BY))!
      expect(await access.setPassword(signIn.secret, PASSWORD)).toMatchObject({ reason: 'no-link' })
      expect((await access.spendLink(signIn.secret))?.person.id).toBe(first.person)
      clock.at += LINK_VALID_MS.password
      expect(await access.setPassword(second.secret, PASSWORD)).toMatchObject({ reason: 'no-link' })
      expect(await access.linkFor('person-nobody', 'password', BY)).toBeNull()
    })

    it('P14 answers a wrong password, an unknown e-mail, one without a password and one that is off alike', async () => {
      const { access, settled, invited } = await given()
      const { id } = await settled()
      await invited('desk', 'nell@office.example')
      const tries = [
        await access.signIn('rosa@office.example', `${PASSWORD}!`, here()),
        await access.signIn('nobody@office.example', PASSWORD, here()),
        await access.signIn('nell@office.example', PASSWORD, here()),
        await access.signIn('not an e-mail', PASSWORD, here()),
        await access.signIn('rosa@office.example', 'x'.repeat(5_000), here()),
        await access.signIn('', '', here()),
      ]
      await access.changeAccount(id, { off: true }, BY)
      tries.push(await access.signIn('rosa@office.example', PASSWORD, here()))
      for (const answer of tries) expect(answer).toEqual({ ok: false, reason: 'wrong' })
    })

    it('P14 slows guesses at one account, from however many addresses, and says how long to wait', async () => {
      const { access, settled, clock } = await given()
      await settled()
      for (let i = 0; i < SIGN_IN_LIMITS.perAccountPerMinute; i++)
        expect(
          await access.signIn('rosa@office.example', `guess ${i}`, here(`198.51.100.${i}`)),
        ).toMatchObject({
          reason: 'wrong',
        })
      // Also with the right password: else a guesser would only have to go on.
      expect(await access.signIn('rosa@office.example', PASSWORD, here('198.51.100.99'))).toEqual({
        ok: false,
        reason: 'too-many',
        retryAfter: 10_000,
      })
      clock.at += 10_000
      expect((await access.signIn('rosa@office.example', PASSWORD, here('198.51.100.99'))).ok).toBe(true)
    })

    it('P14 lets no stranger lock anybody out: a known browser and a sign-in link work while guesses are slowed', async () => {
      const { access, settled } = await given()
      const { browser, id } = await settled()
      for (let i = 0; i < 12; i++)
        await access.signIn('rosa@office.example', `guess ${i}`, here(`198.51.100.${i}`))
      expect(await access.signIn('rosa@office.example', PASSWORD, here())).toMatchObject({
        reason: 'too-many',
      })
      const back = await access.signIn('rosa@office.example', PASSWORD, here('192.0.2.7', browser.secret))
      expect(back).toMatchObject({ ok: true, browser: { secret: browser.secret } })
      const link = (await access.linkFor(id, 'sign-in', BY))!
      expect(await access.spendLink(link.secret)).not.toBeNull()
    })

    it('P14 slows a known browser too, and does not know it for anybody else', async () => {
      const { access, settled } = await given()
      const { browser } = await settled()
      await settled('desk', 'nell@office.example')
      const known = here('192.0.2.7', browser.secret)
      const reasons: unknown[] = []
      for (let i = 0; i < SIGN_IN_LIMITS.perBrowserPerMinute + 1; i++) {
        const answer = await access.signIn('rosa@office.example', `guess ${i}`, known)
        reasons.push(answer.ok || answer.reason)
      }
      expect(reasons.slice(0, -1).every(reason => reason === 'wrong')).toBe(true)
      expect(reasons.at(-1)).toBe('too-many')
      for (let i = 0; i < SIGN_IN_LIMITS.perAccountPerMinute; i++)
        await access.signIn('nell@office.example', `guess ${i}`, known)
      expect(await access.signIn('nell@office.example', PASSWORD, known)).toMatchObject({
        reason: 'too-many',
      })
    })

    it('P14 slows guesses of one address at many accounts, and of all addresses together; good ones cost nothing', async () => {
      const { access, settled } = await given()
      await settled()
      for (let i = 0; i < SIGN_IN_LIMITS.perAccountPerMinute + 2; i++)
        expect((await access.signIn('rosa@office.example', PASSWORD, here())).ok).toBe(true)
      const many: unknown[] = []
      for (let i = 0; i < SIGN_IN_LIMITS.perAddressPerMinute + 1; i++) {
        const answer = await access.signIn(`n${i} no e-mail`, 'x', here('203.0.113.9'))
        many.push(answer.ok || answer.reason)
      }
      expect(many.filter(reason => reason === 'too-many')).toHaveLength(1)
      const left = SIGN_IN_LIMITS.inAllPerMinute - SIGN_IN_LIMITS.perAddressPerMinute
      const all: unknown[] = []
      for (let i = 0; i < left + 1; i++) {
        const answer = await access.signIn(`m${i} no e-mail`, 'x', here(`10.0.${i}.1`))
        all.push(answer.ok || answer.reason)
      }
      expect(all.filter(reason => reason === 'too-many')).toHaveLength(1)
    })

    it('looks at no more passwords at once than it may, and takes a hundred callers in order', async () => {
      const { access } = await given()
      const answers = await Promise.all(
        Array.from({ length: 100 }, (_, i) => access.signIn(`n${i} no e-mail`, 'x', here(`10.1.${i}.1`))),
      )
      expect(answers.every(answer => !answer.ok && answer.reason === 'wrong')).toBe(true)
    })

    it('P14 ends sessions at once at a change of role, at switching off and at a new password, and tells', async () => {
      const { access, settled, told } = await given()
      const { id, session } = await settled()
      await access.changeAccount(id, { name: 'Rosa L.' }, BY)
      expect(told).toEqual([])
      expect(await access.personOfSession(session)).toMatchObject({ name: 'Rosa L.' })
      await access.changeAccount(id, { post: 'ana' }, BY)
      expect(told).toEqual([{ person: id }])
      expect(await access.personOfSession(session)).toMatchObject({ post: 'ana' })
      await access.changeAccount(id, { role: 'rover' }, BY)
      expect(told).toHaveLength(2)
      expect(await access.personOfSession(session)).toBeNull()

      const second = await access.spendLink((await access.linkFor(id, 'sign-in', BY))!.secret)
      const set = await access.setPassword(
        (await access.linkFor(id, 'password', BY))!.secret,
        `${PASSWORD} again`,
      )
      expect(told).toHaveLength(3)
      expect(await access.personOfSession(second!.session)).toBeNull()
      expect(set.ok && (await access.personOfSession(set.session))).toMatchObject({ id })
      expect((await access.signIn('rosa@office.example', PASSWORD, here())).ok).toBe(false)

      const waiting = (await access.linkFor(id, 'sign-in', BY))!
      await access.changeAccount(id, { off: true }, BY)
      expect(told).toHaveLength(4)
      expect(set.ok && (await access.personOfSession(set.session))).toBeNull()
      expect(await access.spendLink(waiting.secret)).toBeNull()
      expect(await access.linkFor(id, 'password', BY)).toBeNull()
      expect(await access.accounts()).toMatchObject([{ is: 'off', sessions: 0 }])
      await access.changeAccount(id, { off: false }, BY)
      expect(await access.spendLink(waiting.secret)).toBeNull()
      expect((await access.signIn('rosa@office.example', `${PASSWORD} again`, here())).ok).toBe(true)
    })

    it('P14 tells at the next sweep what another process has ended, once', async () => {
      const { access, another, settled, told, clock } = await given()
      await access.sweep()
      const { id } = await settled()
      const other = another()
      await access.sweep()
      expect(told).toEqual([])
      await other.changeAccount(id, { role: 'rover' }, BY)
      await access.sweep()
      await access.sweep()
      expect(told).toEqual([{ person: id }])
      await other.spendLink((await other.linkFor(id, 'sign-in', BY))!.secret)
      clock.at += SIGN_IN_LIMITS.sessionMs
      await other.sweep()
      await access.sweep()
      expect(told).toEqual([{ person: id }, { person: id }])
    })

    it('refuses a second account with the same e-mail, by its field', async () => {
      const { access, invited } = await given()
      await invited()
      const second = await access.invite({ name: 'R', email: 'ROSA@office.example', role: 'rover' }, BY)
      expect(second).toMatchObject({ ok: false, problems: [{ path: 'email' }] })
    })

    it('P14 keeps the last active administrator: also of two who switch each other off in one moment', async () => {
      const { access, settled, invited } = await given()
      const first = await settled('admin')
      await invited('admin', 'late@office.example')
      expect(await access.changeAccount(first.id, { off: true }, BY)).toMatchObject({
        ok: false,
        problems: [{ path: 'off' }],
      })
      expect(await access.changeAccount(first.id, { role: 'desk' }, BY)).toMatchObject({
        ok: false,
        problems: [{ path: 'role' }],
      })
      expect(await access.changeAccount(first.id, { name: 'Odile' }, BY)).toEqual({ ok: true })
      const second = await settled('admin', 'second@office.example')
      const both = await Promise.all([
        access.changeAccount(first.id, { off: true }, BY),
        access.changeAccount(second.id, { role: 'supervisor' }, BY),
      ])
      expect(both.filter(outcome => outcome?.ok)).toHaveLength(1)
      const active = (await access.accounts()).filter(a => a.role === 'admin' && a.is === 'active')
      expect(active).toHaveLength(1)
      expect(await access.changeAccount('person-nobody', { off: true }, BY)).toBeNull()
    })

    it('P14 gives a program a role of its own until its token is ended, and notes its use by the hour', async () => {
      const { access, clock, told } = await given()
      const { id, token } = await access.makeProgramToken('wall display', 'supervisor', BY)
      expect(await access.personOfToken(token)).toMatchObject({ name: 'wall display', role: 'supervisor' })
      const usedAt = clock.at
      clock.at += 59 * 60_000
      await access.personOfToken(token)
      expect(await access.tokens()).toMatchObject([{ id, label: 'wall display', role: 'supervisor', usedAt }])
      clock.at += 60_000
      await access.personOfToken(token)
      expect(await access.tokens()).toMatchObject([{ usedAt: usedAt + 3_600_000 }])
      expect(await access.accounts()).toEqual([])
      expect((await access.people()).map(person => person.name)).toEqual(['wall display'])
      expect(await access.endToken(id, BY)).toBe(true)
      expect(told).toHaveLength(1)
      expect(await access.personOfToken(token)).toBeNull()
      expect(await access.tokens()).toEqual([])
      expect(await access.endToken(id, BY)).toBe(false)
    })

    it('P14 refuses the token of a person who is switched off', async () => {
      const { access, settled } = await given()
      const { person } = await settled()
      const token = await access.makeToken(person)
      await access.changeAccount(person.id, { off: true }, BY)
      expect(await access.personOfToken(token)).toBeNull()
    })
  })
}
