import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aWorld, incident, line, type World } from './dayLogTools.ts'

let world: World
beforeAll(async () => {
  world = await aWorld()
  const bad = { number: 3, content: 1n, sent: '{}', problems: [{ path: '', message: 'no' }] }
  await world.nodes[0]!.log.report(world.day, 'device:a', [
    line('device:a', 1),
    incident('device:a', 2, 'dark'),
    bad,
  ])
})
afterAll(() => world.close())

const changes = [
  'update entry set text = text',
  'delete from entry',
  'truncate entry',
  'update refused set aside = not aside',
  'delete from refused',
  'truncate refused',
  "update detail set words = '{}'",
  'update detail set position = 9, words = null, salt = null',
  'delete from detail',
  'truncate detail',
]

describe('the database itself', () => {
  it.each(changes)('P13: refuses the program’s role: %s', async statement => {
    const { sql } = world.nodes[0]!
    expect(await sql`select current_user as role`).toMatchObject([{ role: 'sunup_app' }])
    await expect(sql.unsafe(statement)).rejects.toThrow(
      /permission denied|append-only|erased and nothing else/,
    )
  })

  it.each(changes)('P13: refuses the tables’ owner, by trigger: %s', async statement => {
    await expect(world.owner.unsafe(statement)).rejects.toThrow(/append-only|erased and nothing else/)
  })

  it('P13: lets the program’s role neither switch the triggers off nor drop a table', async () => {
    const { sql } = world.nodes[0]!
    for (const statement of [
      'alter table entry disable trigger all',
      'drop trigger entry_append_only on entry',
      'drop table entry',
      'create or replace function refuse_change() returns trigger language plpgsql as $$ begin return new; end $$',
    ])
      await expect(sql.unsafe(statement), statement).rejects.toThrow(/must be owner|permission denied/)
  })

  it('keeps everything as it was after all these attempts', async () => {
    expect(await world.nodes[0]!.log.verify(world.day)).toMatchObject({ ok: true, entries: 2 })
    expect(await world.owner`select aside from refused`).toMatchObject([{ aside: false }])
  })
})
