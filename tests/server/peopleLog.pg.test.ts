import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { stateOf } from '../../db/backup.ts'
import { connect, type Sql } from '../../db/connect.ts'
import { migrate, ownMigrations } from '../../db/migrate.ts'
import { type Access, BY_COMMAND, BY_SUNUP } from '../../server/access/access.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { hashSecret } from '../../server/access/secrets.ts'
import { peopleChangeKinds } from '../../server/protocol/peopleChanges.ts'
import { bareDatabase, freshDatabase } from '../support/database.ts'

/** The record of who changed what about people and programs, in the real database. */
const PASSWORD = 'seven herons over the marsh'
let database: string
let sql: Sql
let access: Access
let admin: string

beforeAll(async () => {
  database = await freshDatabase()
  sql = connect(database, { max: 4 })
  access = accessOf(sql)
})
afterAll(() => sql.end())

function accessOf(tables: Sql): Access {
  return makeAccess({
    store: openAccessStore(tables),
    now: Date.now,
    enrolRate: { perAddressPerMinute: 9, inAllPerMinute: 9 },
  })
}
const invite = async (name: string, by: string) => {
  const made = await access.invite({ name, email: `${name}@office.example`, role: 'desk' }, by)
  if (!made.ok) throw new Error(JSON.stringify(made.problems))
  return made.link
}
const latest = async () => (await access.changes({ limit: 1 })).changes[0]!
const count = async () => (await latest()).position

describe('the record of changes about people', () => {
  it('P14 has one record for each change, with its author, and nothing secret or personal', async () => {
    const made = await access.invite({ name: 'Odile', email: 'o@office.example', role: 'admin' }, BY_COMMAND)
    if (!made.ok) throw new Error('not invited')
    admin = made.link.person
    expect(await latest()).toMatchObject({ position: 1, kind: 'PersonInvited', what: { role: 'admin' } })
    await access.setPassword(made.link.secret, PASSWORD)
    expect(await latest()).toMatchObject({
      position: 2,
      kind: 'PasswordSet',
      by: { id: admin, name: 'Odile' },
    })

    const { person, secret } = await invite('Rosa', admin)
    await access.setPassword(secret, PASSWORD)
    await access.signIn('rosa@office.example', PASSWORD, { address: '192.0.2.7', browser: null })
    await access.changeAccount(person, { role: 'supervisor', name: 'Rosa L.' }, admin)
    const link = (await access.linkFor(person, 'password', admin))!
    await access.changeAccount(person, { off: true }, admin)
    await access.changeAccount(person, { off: false }, BY_COMMAND)
    const program = await access.makeProgramToken('wall display', 'desk', admin)
    await access.endToken(program.id, admin)
    await access.addPerson({ id: 'p-nell', name: 'Nell', role: 'rover', post: 'ana' })

    const { changes } = await access.changes({ limit: 100 })
    const told = changes.toReversed().slice(2)
    expect(told.map(({ kind, by, about, what }) => [kind, by.id, about.id, what])).toEqual([
      ['PersonInvited', admin, person, { role: 'desk' }],
      ['PasswordSet', person, person, {}],
      [
        'PersonChanged',
        admin,
        person,
        { role: { was: 'desk', is: 'supervisor' }, name: true, sessionsEnded: 2 },
      ],
      ['LinkMade', admin, person, { for: 'password' }],
      ['PersonSwitchedOff', admin, person, {}],
      ['PersonSwitchedOn', BY_COMMAND, person, {}],
      ['TokenMade', admin, program.id, { role: 'desk' }],
      ['TokenEnded', admin, program.id, { role: 'desk' }],
      ['PersonAdded', BY_SUNUP, 'p-nell', { role: 'rover', post: 'ana' }],
    ])
    expect(changes.map(change => change.position)).toEqual(changes.map((_, i) => changes.length - i))
    for (const { kind, what } of changes) expect(peopleChangeKinds[kind].safeParse(what).success).toBe(true)
    const text = JSON.stringify(await sql`select * from people_log`)
    for (const hidden of [
      PASSWORD,
      secret,
      link.secret,
      program.token,
      'office.example',
      'Rosa',
      'wall display',
    ])
      expect(text).not.toContain(hidden)
  })

  it('has nothing of what was refused or changes nothing', async () => {
    const before = await count()
    const { person } = (await access.changes({ limit: 1 })).changes.map(c => ({ person: c.about.id }))[0]!
    await access.changeAccount(person, {}, admin)
    await access.addPerson({ id: 'p-nell', name: 'Nell', role: 'rover', post: 'ana' })
    expect((await access.changeAccount(admin, { off: true }, admin))?.ok).toBe(false)
    expect((await access.invite({ name: 'R', email: 'o@office.example', role: 'rover' }, admin)).ok).toBe(
      false,
    )
    expect(await access.changeAccount('person-nobody', { off: true }, admin)).toBeNull()
    expect(await access.linkFor('person-nobody', 'sign-in', admin)).toBeNull()
    expect(await access.endToken('no-token', admin)).toBe(false)
    expect(await count()).toBe(before)
  })

  it('is numbered without a gap where many change at once', async () => {
    const before = await count()
    await Promise.all(Array.from({ length: 20 }, (_, i) => access.makeProgramToken(`p${i}`, 'desk', admin)))
    const { changes } = await access.changes({ limit: 20 })
    expect(changes.map(change => change.position)).toEqual(
      Array.from({ length: 20 }, (_, i) => before + 20 - i),
    )
  })

  it('says once that a person was added by many in one moment, and from what to what they were changed', async () => {
    const before = await count()
    const perla = { id: 'p-perla', name: 'Perla', role: 'desk' } as const
    await Promise.all(Array.from({ length: 8 }, () => access.addPerson(perla)))
    const posts = ['ana', 'ben', 'cai', 'dov']
    await Promise.all(posts.map(post => access.addPerson({ ...perla, role: 'rover', post })))
    const { changes } = await access.changes({ limit: 20 })
    const told = changes.filter(change => change.position > before).toReversed()
    expect(told.map(change => change.kind)).toEqual(['PersonAdded', ...posts.map(() => 'PersonChanged')])
    const moves = told.slice(1).map(({ what }) => ('post' in what ? what.post : null))
    expect(moves).toEqual(told.slice(1).map(() => expect.objectContaining({ is: expect.any(String) })))
    const from = moves.map(move => (move as { was?: string }).was)
    expect(from).toEqual([undefined, ...moves.slice(0, -1).map(move => (move as { is: string }).is)])
  })

  it('is read a page at a time, newest first, to its beginning', async () => {
    const all: number[] = []
    for (let before: number | undefined; ; ) {
      const page = await access.changes({ before, limit: 7 })
      all.push(...page.changes.map(change => change.position))
      before = page.changes.at(-1)!.position
      if (!page.more) break
    }
    expect(all).toEqual(Array.from({ length: await count() }, (_, i) => all.length - i))
  })

  it('P13 is only added to: the program’s role may not alter, delete or empty it, nor may the tables’ owner', async () => {
    const owner = connect(database, { max: 1, as: 'owner' })
    for (const wrong of [
      `update people_log set by = 'nobody' where position = 1`,
      'delete from people_log where position = 1',
      'truncate people_log',
    ]) {
      await expect(sql.unsafe(wrong), wrong).rejects.toThrow(/permission denied/)
      await expect(owner.unsafe(wrong), wrong).rejects.toThrow(/append-only/)
    }
    await owner.end()
    expect((await access.changes({ before: 2, limit: 1 })).changes[0]).toMatchObject({
      by: { id: BY_COMMAND },
    })
  })

  it('is there together with its change or neither is: what can’t be recorded is not done', async () => {
    const { person } = await invite('Vera', admin)
    const { id: token } = await access.makeProgramToken('kept', 'desk', admin)
    const owner = connect(database, { max: 1, as: 'owner' })
    await owner`alter table people_log add constraint unrecorded check (by <> 'p-unrecorded') not valid`
    const all = async () => [await stateOf(owner), await owner`select * from sign_in_link order by hash`]
    const before = await all()
    const by = 'p-unrecorded'
    const store = openAccessStore(sql)
    const changes: Array<() => Promise<unknown>> = [
      () => access.invite({ name: 'Ivo', email: 'ivo@office.example', role: 'desk' }, by),
      () => access.changeAccount(person, { role: 'rover', post: 'ana' }, by),
      () => access.changeAccount(person, { off: true }, by),
      () => access.linkFor(person, 'password', by),
      () => access.makeLink({ id: 'p-new', name: 'New', role: 'desk' }, 60_000, by),
      () => store.addToken({ id: 'token-x', hash: 'x', person, label: 'x', madeAt: 1 }, by),
      () => access.makeProgramToken('wall display', 'desk', by),
      () => access.endToken(token, by),
    ]
    for (const change of changes) {
      await expect(change(), String(change)).rejects.toThrow()
      expect(await all(), String(change)).toEqual(before)
    }
    await owner`alter table people_log drop constraint unrecorded`
    for (const change of changes.slice(1, 4)) await change()
    expect(await all()).not.toEqual(before)
    await owner.end()
  })

  it('P11: begins in an older database with the end of its administrators’ tokens; other tokens stand', async () => {
    const url = await bareDatabase()
    await migrate(
      url,
      ownMigrations().filter(({ number }) => number < 5),
    )
    const owner = connect(url, { max: 1, as: 'owner' })
    const [key, other, gone] = ['an old key', 'another old key', 'a key that had ended']
    await owner`insert into person (id, name, role, made_at, changed_at)
      values ('p-old', 'Old', 'admin', 1, 1), ('p-desk', 'Desk', 'desk', 1, 1)`
    await owner`insert into api_token (id, hash, person, label, made_at, ended_at)
      values ('t-1', ${hashSecret(key)}, 'p-old', 'old', 1, null),
             ('t-2', ${hashSecret(other)}, 'p-desk', 'desk', 1, null),
             ('t-3', ${hashSecret(gone)}, 'p-old', 'older', 1, 7),
             ('t-4', 'some hash', 'p-old', 'second', 1, null)`
    await migrate(url)
    const ended = await owner`select id, ended_at from api_token where ended_at is not null order by id`
    expect(ended.map(row => row.id)).toEqual(['t-1', 't-3', 't-4'])
    expect(ended[1]).toMatchObject({ ended_at: 7 })
    const there = accessOf(owner)
    expect(await there.personOfToken(key)).toBeNull()
    expect(await there.personOfToken(other)).toMatchObject({ id: 'p-desk' })
    expect((await there.changes({ limit: 9 })).changes).toMatchObject([
      { position: 2, kind: 'TokenEnded', by: { id: BY_SUNUP }, about: { id: 't-4', name: 'second' } },
      { position: 1, kind: 'TokenEnded', by: { id: BY_SUNUP }, about: { id: 't-1', name: 'old' } },
    ])
    await owner.end()
  })
})
