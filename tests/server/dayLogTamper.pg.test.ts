import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { addDay, addNode, aWorld, incident, line, lines, type World } from './dayLogTools.ts'

/** What somebody with the database's highest rights could try; the program's own role can do none of it (dayLogGuard). */
let world: World
let day: string
let days = 0
beforeAll(async () => {
  world = await aWorld()
})
beforeEach(async () => {
  day = `${world.day}-${++days}`
  await addDay(world.nodes[0]!.sql, day)
  const { log } = world.nodes[0]!
  await log.report(day, 'device:a', lines('device:a', 1, 5))
  await log.report(day, 'device:a', [incident('device:a', 6, 'the lights went out'), line('device:a', 7)])
  expect(await log.verify(day)).toMatchObject({ ok: true, entries: 7 })
})
afterAll(() => world.close())

async function asSuperuser(...statements: string[]): Promise<void> {
  await world.owner.begin(async tx => {
    await tx.unsafe("set local session_replication_role = 'replica'")
    for (const statement of statements) {
      const { count } = await tx.unsafe(statement.replaceAll('$DAY', `'${day}'`))
      expect(count, statement).toBeGreaterThan(0)
    }
  })
}

const verify = () => world.nodes[0]!.log.verify(day)

describe('log verify', () => {
  const cases: Array<[what: string, statements: string[], found: { position: number; problem: string }]> = [
    [
      'one altered byte of a text',
      [`update entry set text = replace(text, '"inLine":3', '"inLine":8') where day = $DAY and position = 3`],
      { position: 3, problem: 'altered' },
    ],
    [
      'an altered hash',
      [`update entry set hash = repeat('0', 64) where day = $DAY and position = 4`],
      { position: 4, problem: 'altered' },
    ],
    [
      'an altered text with a hash made to fit',
      [
        `update entry e set text = replace(text, '"inLine":3', '"inLine":8') where day = $DAY and position = 3`,
        `update entry e set hash = encode(sha256(convert_to((select hash from entry p where p.day = e.day and p.position = 2) || E'\\n' || text, 'UTF8')), 'hex') where day = $DAY and position = 3`,
      ],
      { position: 4, problem: 'altered' },
    ],
    [
      'an altered column beside the text',
      [`update entry set precinct = 'E-03' where day = $DAY and position = 2`],
      { position: 2, problem: 'altered' },
    ],
    [
      'a missing row',
      [`delete from entry where day = $DAY and position = 3`],
      { position: 3, problem: 'missing' },
    ],
    [
      'a missing first row',
      [`delete from entry where day = $DAY and position = 1`],
      { position: 1, problem: 'missing' },
    ],
    [
      'two rows that changed places',
      [
        `update entry set position = 100 where day = $DAY and position = 2`,
        `update entry set position = 2 where day = $DAY and position = 4`,
        `update entry set position = 4 where day = $DAY and position = 100`,
      ],
      { position: 2, problem: 'altered' },
    ],
    [
      'a cut tail',
      [`delete from entry where day = $DAY and position > 5`],
      { position: 6, problem: 'missing' },
    ],
    [
      'an added row',
      [
        `insert into entry select day, 8, source, 8, content, precinct, recorded_at, replace(replace(text, '"position":7', '"position":8'), '"number":7', '"number":8'), hash from entry where day = $DAY and position = 7`,
        `update entry e set hash = encode(sha256(convert_to((select hash from entry p where p.day = e.day and p.position = 7) || E'\\n' || text, 'UTF8')), 'hex') where day = $DAY and position = 8`,
      ],
      { position: 8, problem: 'head-differs' },
    ],
    [
      'a head moved back',
      [`update head set position = 6 where day = $DAY`],
      { position: 7, problem: 'head-differs' },
    ],
    [
      'a head with another hash',
      [`update head set hash = repeat('f', 64) where day = $DAY`],
      { position: 7, problem: 'head-differs' },
    ],
    [
      'altered words',
      [`update detail set words = replace(words, 'out', 'on') where day = $DAY and position = 6`],
      { position: 6, problem: 'detail-altered' },
    ],
    [
      'words that are gone without an erasure in the log',
      [`delete from detail where day = $DAY and position = 6`],
      { position: 6, problem: 'detail-altered' },
    ],
    [
      'words put beside an entry that had none',
      [`insert into detail values ($DAY, 2, 'salt', '{"what":"never said"}')`],
      { position: 2, problem: 'detail-altered' },
    ],
  ]
  it.each(cases)('P13: names the first place of %s', async (_, statements, found) => {
    await asSuperuser(...statements)
    expect(await verify()).toMatchObject({ ok: false, ...found, message: expect.any(String) })
  })

  it('P13: an erasure keeps the rest verifiable, and a later alteration is still found', async () => {
    await world.nodes[0]!.log.erase(day, 6, 'a name', 'p-1')
    expect(await verify()).toMatchObject({ ok: true, entries: 8 })
    await asSuperuser(
      `update entry set text = replace(text, 'a name', 'no name') where day = $DAY and position = 8`,
    )
    expect(await verify()).toMatchObject({ ok: false, position: 8, problem: 'altered' })
  })

  it('P13: a log shortened together with its head verifies, but no longer shows the head that stands on paper', async () => {
    const onPaper = await world.nodes[0]!.log.head(day)
    await asSuperuser(
      `delete from detail where day = $DAY and position = 6`,
      `delete from entry where day = $DAY and position > 5`,
      `update head h set position = 5, hash = (select hash from entry e where e.day = h.day and e.position = 5) where day = $DAY`,
    )
    expect(await verify()).toMatchObject({ ok: true, entries: 5 })
    expect(await world.nodes[0]!.log.head(day)).not.toEqual(onPaper)
  })
})

describe('a log with a missing entry', () => {
  it.each([
    ['in the middle', 3],
    ['at its end', 7],
  ])('P13: is not followed: whoever would fold it is told at once which one (%s)', async (_, position) => {
    await asSuperuser(`delete from entry where day = $DAY and position = ${position}`)
    const { log } = addNode(world)
    await expect(log.follow(day, 0, () => {})).rejects.toThrow(`entry ${position} is missing`)
  })
})
