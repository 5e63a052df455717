import { describe, expect, it } from 'vitest'
import type { Person } from '../../server/access/access.ts'
import { ACCESS_LIMITS, type AccessDeps, makeAccess } from '../../server/access/makeAccess.ts'
import { SIGN_IN_LIMITS } from '../../server/access/signIn.ts'
import type { AccessStore } from '../../server/access/store.ts'

const rosa: Person = { id: 'p-rosa', name: 'Rosa Lindqvist', role: 'desk', post: null }
const sam: Person = { id: 'p-sam', name: 'Sam Okafor', role: 'supervisor', post: null }

/**
 * What access promises, whatever keeps its tables. `open` gives an empty store with the day `ellery` open, and a
 * way to close it.
 */
export function accessContract(
  name: string,
  open: () => Promise<{ store: AccessStore; day: string; closeDay: () => Promise<void> }>,
): void {
  async function given(rates: Partial<AccessDeps['enrolRate']> = {}) {
    const { store, day, closeDay } = await open()
    const clock = { at: Date.UTC(2026, 10, 3, 10) }
    const enrolRate = { perAddressPerMinute: 10, inAllPerMinute: 60, ...rates }
    const access = makeAccess({ store, now: () => clock.at, enrolRate })
    const told: unknown[] = []
    access.onRevoked(what => told.push(what))
    return {
      access,
      store,
      day,
      closeDay,
      clock,
      told,
      another: () => makeAccess({ store, now: () => clock.at, enrolRate }),
    }
  }

  describe(`access kept in ${name}`, () => {
    it('P14 enrols a device for the precinct of its code, and its key speaks for that precinct alone', async () => {
      const { access, day } = await given()
      const code = await access.issueCode(day, '014')
      const outcome = await access.enrol(code, 'Front table', '192.0.2.7')
      expect(outcome).toMatchObject({
        ok: true,
        device: { day, precinct: '014', label: 'Front table', revokedAt: null },
      })
      if (!outcome.ok) return
      expect(outcome.key).toMatch(/^[A-Za-z0-9_-]{43}$/)
      expect(await access.deviceOfKey(outcome.key)).toEqual(outcome.device)
      expect(
        await access.deviceOfKey(`${outcome.key.slice(0, -1)}${outcome.key.endsWith('A') ? 'B' : 'A'}`),
      ).toBeNull()
      expect(await access.devicesOf(day)).toEqual([outcome.device])
    })

    it('reads a code however it was typed', async () => {
      const { access, day } = await given()
      const code = await access.issueCode(day, '014')
      const typed = ` ${code.toLowerCase().replace('-', ' – ')} `
      expect((await access.enrol(typed, '', '192.0.2.7')).ok).toBe(true)
    })

    it('P14 lets exactly one of twelve callers with the same code in', async () => {
      const { access, day } = await given({ perAddressPerMinute: 100 })
      const code = await access.issueCode(day, '014')
      const outcomes = await Promise.all(
        Array.from({ length: 12 }, (_, i) => access.enrol(code, '', `192.0.2.${i}`)),
      )
      expect(outcomes.filter(outcome => outcome.ok)).toHaveLength(1)
      expect(outcomes.filter(outcome => !outcome.ok && outcome.reason === 'used-code')).toHaveLength(11)
      expect(await access.devicesOf(day)).toHaveLength(1)
    })

    it('says of a wrong code that it is wrong, and of a code of a closed day that the day is closed', async () => {
      const { access, day, closeDay } = await given()
      expect(await access.enrol('AAAAA-AAAAA', '', '192.0.2.7')).toMatchObject({
        ok: false,
        reason: 'wrong-code',
      })
      expect(await access.enrol('not a code', '', '192.0.2.7')).toMatchObject({
        ok: false,
        reason: 'wrong-code',
      })
      const code = await access.issueCode(day, '014')
      await closeDay()
      expect(await access.enrol(code, '', '192.0.2.7')).toMatchObject({ ok: false, reason: 'day-closed' })
      expect(await access.devicesOf(day)).toEqual([])
    })

    it('P14 a code that does not go with what the tablet serves already is refused, and not used up', async () => {
      const { access, day } = await given()
      const code = await access.issueCode(day, '014')
      const tryBeside = (beside: { day: string; precincts: string[] }) =>
        access.enrol(code, '', '192.0.2.7', beside)
      expect(await tryBeside({ day, precincts: ['013', '014'] })).toMatchObject({ reason: 'served-already' })
      expect(await tryBeside({ day: 'another', precincts: ['013'] })).toMatchObject({ reason: 'other-day' })
      expect(await access.devicesOf(day)).toEqual([])
      const outcome = await tryBeside({ day, precincts: ['013', '"]; drop table device'] })
      expect(outcome).toMatchObject({ ok: true, device: { precinct: '014' } })
      expect(await tryBeside({ day, precincts: [] })).toMatchObject({ reason: 'used-code' })
    })

    it('P14 slows wrong codes by address, says how long to wait, and lets other addresses go on', async () => {
      const { access, day, clock } = await given()
      const tries = []
      for (let i = 0; i < 12; i++) tries.push(await access.enrol('AAAAA-AAAAA', '', '192.0.2.7'))
      expect(tries.slice(0, 10).every(o => !o.ok && o.reason === 'wrong-code')).toBe(true)
      expect(tries[10]).toMatchObject({ ok: false, reason: 'too-many', retryAfter: 6_000 })
      const code = await access.issueCode(day, '014')
      expect(await access.enrol(code, '', '192.0.2.7')).toMatchObject({ reason: 'too-many' })
      expect((await access.enrol(code, '', '192.0.2.8')).ok).toBe(true)
      clock.at += 6_000
      expect(await access.enrol('AAAAA-AAAAA', '', '192.0.2.7')).toMatchObject({ reason: 'wrong-code' })
    })

    it('P14 slows wrong codes in all, however many addresses they come from', async () => {
      const { access, clock } = await given()
      const reasons: string[] = []
      for (let i = 0; i < 70; i++) {
        const outcome = await access.enrol('AAAAA-AAAAA', '', `198.51.100.${i}`)
        if (!outcome.ok) reasons.push(outcome.reason)
      }
      expect(reasons.filter(reason => reason === 'wrong-code')).toHaveLength(60)
      expect(reasons.filter(reason => reason === 'too-many')).toHaveLength(10)
      clock.at += 1_000
      expect(await access.enrol('AAAAA-AAAAA', '', '203.0.113.1')).toMatchObject({ reason: 'wrong-code' })
    })

    it('does not count good codes: one warehouse enrols thirty tablets in a minute', async () => {
      const { access, day } = await given()
      for (let i = 0; i < 30; i++) {
        const code = await access.issueCode(day, '014')
        expect((await access.enrol(code, '', '192.0.2.7')).ok).toBe(true)
      }
    })

    it('P14 refuses a key from the moment it is revoked, from memory too, and tells the listeners once', async () => {
      const { access, day, told } = await given()
      const outcome = await access.enrol(await access.issueCode(day, '014'), '', '192.0.2.7')
      if (!outcome.ok) throw new Error(outcome.message)
      expect(await access.deviceOfKey(outcome.key)).not.toBeNull()
      const revoked = await access.revoke(outcome.device.id)
      expect(revoked?.revokedAt).not.toBeNull()
      expect(await access.deviceOfKey(outcome.key)).toBeNull()
      expect(told).toEqual([{ device: outcome.device.id }])
      expect(await access.revoke('d-nobody')).toBeNull()
    })

    it('P14 does not let a look-up that was under way bring a revoked key back', async () => {
      const { day, store, clock } = await given()
      let pause: (() => void) | null = null
      const slow: AccessStore = {
        ...store,
        async deviceOfKey(hash) {
          const device = await store.deviceOfKey(hash)
          if (pause === null) await new Promise<void>(resolve => (pause = resolve))
          return device
        },
      }
      const now = () => clock.at
      const access = makeAccess({
        store: slow,
        now,
        enrolRate: { perAddressPerMinute: 10, inAllPerMinute: 60 },
      })
      const outcome = await access.enrol(await access.issueCode(day, '014'), '', '192.0.2.7')
      if (!outcome.ok) throw new Error(outcome.message)
      clock.at += ACCESS_LIMITS.cacheMs
      const looking = access.deviceOfKey(outcome.key)
      await expect.poll(() => pause).not.toBeNull()
      await access.revoke(outcome.device.id)
      pause!()
      expect(await looking).toBeNull()
      expect(await access.deviceOfKey(outcome.key)).toBeNull()
    })

    it('P14 a device that is replaced keeps its key, is known as replaced at once, and is replaced once', async () => {
      const { access, day, told, clock } = await given()
      const enrol = async (replaces?: string) => {
        const outcome = await access.enrol(await access.issueCode(day, '014', replaces), '', '192.0.2.7')
        if (!outcome.ok) throw new Error(outcome.message)
        return outcome
      }
      const old = await enrol()
      const [one, two] = [await access.issueCode(day, '014', old.device.id), old.device.id]
      expect(old.replaced).toBeNull()
      expect(await access.deviceOfKey(old.key)).toMatchObject({ replacedAt: null })
      clock.at += 1_000
      const fresh = await access.enrol(one, 'spare', '192.0.2.7')
      expect(fresh).toMatchObject({ ok: true, replaced: old.device.id, device: { replacedAt: null } })
      expect(told).toEqual([{ device: old.device.id }])
      const replaced = { ...old.device, replacedAt: clock.at }
      expect(await access.deviceOfKey(old.key)).toEqual(replaced)
      clock.at += 1_000
      expect(await enrol(two)).toMatchObject({ ok: true, replaced: null })
      expect((await access.devicesOf(day)).find(d => d.id === old.device.id)).toEqual(replaced)
      expect(told).toHaveLength(1)
      await access.revoke(old.device.id)
      expect(await access.deviceOfKey(old.key)).toBeNull()
    })

    it('P14 a code takes the place of no device of another precinct', async () => {
      const { access, day } = await given()
      const other = await access.enrol(await access.issueCode(day, '015'), '', '192.0.2.7')
      if (!other.ok) throw new Error(other.message)
      const code = await access.issueCode(day, '014', other.device.id)
      expect(await access.enrol(code, '', '192.0.2.7')).toMatchObject({ ok: true, replaced: null })
      expect(await access.deviceOfKey(other.key)).toEqual(other.device)
    })

    it('honours a revocation by another process within half a minute', async () => {
      const { access, another, day, clock } = await given()
      const outcome = await access.enrol(await access.issueCode(day, '014'), '', '192.0.2.7')
      if (!outcome.ok) throw new Error(outcome.message)
      await another().revoke(outcome.device.id)
      clock.at += 30_000
      expect(await access.deviceOfKey(outcome.key)).toBeNull()
    })

    it('signs a person in by a link once, for sixteen hours', async () => {
      const { access, clock } = await given()
      const link = await access.makeLink(rosa, 60_000)
      const entered = await access.spendLink(link)
      expect(entered).toMatchObject({ person: rosa, expiresAt: clock.at + 16 * 3_600_000 })
      expect(await access.spendLink(link)).toBeNull()
      expect(await access.personOfSession(entered!.session)).toEqual(rosa)
      clock.at = entered!.expiresAt
      expect(await access.personOfSession(entered!.session)).toBeNull()
    })

    it('P14 lets exactly one of eight callers use a link', async () => {
      const { access } = await given()
      const link = await access.makeLink(rosa, 60_000)
      const entered = await Promise.all(Array.from({ length: 8 }, () => access.spendLink(link)))
      expect(entered.filter(Boolean)).toHaveLength(1)
    })

    it('refuses a link whose time is over, and one that never was', async () => {
      const { access, clock } = await given()
      const link = await access.makeLink(rosa, 60_000)
      clock.at += 60_000
      expect(await access.spendLink(link)).toBeNull()
      expect(await access.spendLink('x'.repeat(43))).toBeNull()
    })

    it('tells the listeners when a session ends: by leaving at once, by time at the next sweep', async () => {
      const { access, clock, told } = await given()
      const first = await access.spendLink(await access.makeLink(rosa, 60_000))
      await access.endSession(first!.session)
      expect(told).toEqual([{ person: rosa.id }])
      expect(await access.personOfSession(first!.session)).toBeNull()
      await access.endSession(first!.session)
      expect(told).toHaveLength(1)
      await access.spendLink(await access.makeLink(sam, 60_000))
      clock.at += SIGN_IN_LIMITS.sessionMs
      await access.sweep()
      expect(told.slice(1)).toEqual([{ person: sam.id }])
    })

    it('knows the person of a bearer token, and a change of role counts at once', async () => {
      const { access } = await given()
      const token = await access.makeToken(sam)
      expect(await access.personOfToken(token)).toEqual(sam)
      await access.addPerson({ ...sam, role: 'desk' })
      expect(await access.personOfToken(token)).toMatchObject({ role: 'desk' })
      expect(await access.personOfToken('x'.repeat(43))).toBeNull()
    })

    it('lists people by name', async () => {
      const { access } = await given()
      await access.addPerson(sam)
      await access.addPerson(rosa)
      expect((await access.people()).map(person => person.id)).toEqual([rosa.id, sam.id])
    })
  })
}
