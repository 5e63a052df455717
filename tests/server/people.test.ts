import { describe, expect, it } from 'vitest'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { peopleWords } from '../../server/cli/people.ts'
import { memoryAccessStore } from '../support/memoryAccessStore.ts'

function given(publicUrl: string | null = null) {
  const access = makeAccess({
    store: memoryAccessStore(),
    now: () => Date.UTC(2026, 9, 27, 12),
    enrolRate: { perAddressPerMinute: 10, inAllPerMinute: 60 },
  })
  const sunup = async (...words: string[]) => {
    const said: string[] = []
    const complained: string[] = []
    const asked = peopleWords(words)
    if (asked === null) return { code: null, said, complained }
    if ('lines' in asked) return { code: 2, said, complained: asked.lines }
    const hands = {
      access,
      publicUrl,
      out: (l: string) => said.push(l),
      complain: (l: string) => complained.push(l),
    }
    return { code: await asked.run(hands), said, complained }
  }
  const keyOf = (said: string[]) => /^\/enter\?key=([\w-]{43})$/.exec(said[0] ?? '')?.[1] ?? ''
  return { access, sunup, keyOf }
}

describe('the words about people', () => {
  it('make the first administrator, whose link sets a password', async () => {
    const { access, sunup, keyOf } = given()
    const added = await sunup(
      'people',
      'add',
      'Odile Marsh',
      '--email',
      'Odile@Ellery.example',
      '--role=admin',
    )
    expect(added).toMatchObject({
      code: 0,
      complained: ['Odile Marsh sets a password by this link, once, until 2026-11-03T12:00:00.000Z:'],
    })
    expect(await sunup('people')).toMatchObject({
      code: 0,
      said: ['admin  invited  Odile Marsh  odile@ellery.example'],
    })
    const set = await access.setPassword(keyOf(added.said), 'seven herons over the marsh')
    expect(set).toMatchObject({ ok: true, person: { role: 'admin', name: 'Odile Marsh' } })
    const fresh = await sunup('people', 'password', 'odile@ellery.example')
    expect(await access.lookAtLink(keyOf(fresh.said))).toMatchObject({ purpose: 'password' })
  })

  it('switch somebody off and on, but not the last administrator', async () => {
    const { sunup, access, keyOf } = given()
    const odile = await sunup('people', 'add', 'Odile', '--email', 'odile@ellery.example', '--role', 'admin')
    await access.setPassword(keyOf(odile.said), 'seven herons over the marsh')
    await sunup('people', 'add', 'Nell', '--email', 'nell@ellery.example', '--role', 'rover', '--post', 'ana')
    expect(await sunup('people', 'off', 'NELL@ellery.example')).toMatchObject({ code: 0 })
    expect((await sunup('people')).said).toEqual([
      'rover  off  Nell  nell@ellery.example  post ana',
      'admin  active  Odile  odile@ellery.example',
    ])
    expect(await sunup('people', 'password', 'nell@ellery.example')).toMatchObject({ code: 1 })
    expect(await sunup('people', 'on', 'nell@ellery.example')).toMatchObject({ code: 0 })
    const last = await sunup('people', 'off', 'odile@ellery.example')
    expect(last).toMatchObject({ code: 1, complained: [expect.stringContaining('last administrator')] })
    expect(await sunup('people', 'off', 'who@ellery.example')).toMatchObject({ code: 1 })
    const again = await sunup('people', 'add', 'Nell', '--email', 'nell@ellery.example', '--role', 'rover')
    expect(again).toMatchObject({ code: 1, complained: [expect.stringContaining('already')] })
  })

  it('make a sign-in link with a post, of one person however often it is asked for', async () => {
    const { sunup, access, keyOf } = given()
    const first = await sunup('link', 'Ana', '--role', 'rover', '--post', 'ana')
    const second = await sunup('link', 'Ana', '--post=ana', '--role=rover')
    const entered = [await access.spendLink(keyOf(first.said)), await access.spendLink(keyOf(second.said))]
    expect(entered[0]?.person).toMatchObject({ name: 'Ana', role: 'rover', post: 'ana' })
    expect(entered[1]?.person).toEqual(entered[0]?.person)
    expect(await access.people()).toHaveLength(1)
  })

  it('print the whole address where the public one is known', async () => {
    const { sunup } = given('https://board.example.gov')
    expect((await sunup('link', 'Imre', '--role', 'desk')).said[0]).toMatch(
      /^https:\/\/board\.example\.gov\/enter\?key=/,
    )
  })

  it.each([
    ['link', 'Imre'],
    ['link', 'Imre', '--role', 'clerk'],
    ['link', 'Imre', '--role', 'desk', '--role', 'rover'],
    ['link', 'Imre', '--role', 'desk', '--post'],
    ['link', 'Imre', 'Ott', '--role', 'desk'],
    ['people', 'add', 'Nell'],
    ['people', 'add', 'Nell', '--email', 'nell', '--role', 'desk'],
    ['people', 'add', 'Nell', '--email', 'nell@ellery.example', '--role', 'clerk'],
    ['people', 'add', 'Nell', '--email', 'nell@ellery.example', '--role', 'desk', '--password', 'x'],
    ['people', 'remove', 'nell@ellery.example'],
    ['people', 'off'],
  ])('are refused with how to say it: %s %s %s %s', async (...words) => {
    const { sunup, access } = given()
    const { code, complained } = await sunup(...words)
    expect(code).toBe(2)
    expect(complained.join('\n')).toMatch(/sunup (link|people)/)
    expect(await access.people()).toEqual([])
  })

  it('leave other words to others', async () => {
    const { sunup } = given()
    expect((await sunup('days')).code).toBeNull()
  })
})
