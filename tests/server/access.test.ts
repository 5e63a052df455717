import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readCookie, sessionCookie } from '../../server/access/cookie.ts'
import { addressGroup, makeRates } from '../../server/access/rates.ts'
import { hashSecret, makeCode, makeSecret, normaliseCode } from '../../server/access/secrets.ts'
import { memoryAccessStore } from '../support/memoryAccessStore.ts'
import { accessContract } from './accessContract.ts'
import { signInContract } from './signInContract.ts'

accessContract('memory', async () => {
  let closed = false
  const closeDay = async () => {
    closed = true
  }
  return { store: memoryAccessStore(() => closed), day: 'ellery', closeDay }
})

signInContract('memory', async () => ({ store: memoryAccessStore() }))

describe('codes and secrets', () => {
  it('makes codes of ten characters, grouped, without look-alikes, and none twice in a thousand', () => {
    const codes = Array.from({ length: 1_000 }, makeCode)
    for (const code of codes) expect(code).toMatch(/^[A-HJKMNP-TV-Z2-9]{5}-[A-HJKMNP-TV-Z2-9]{5}$/)
    expect(new Set(codes).size).toBe(1_000)
    expect(new Set(codes.join('').replaceAll('-', '')).size).toBe(30)
  })

  it('reads back any code with spaces, dashes and small letters strewn in', () => {
    const noise = fc.array(fc.constantFrom('', ' ', '-', '–', '\t'), { minLength: 11, maxLength: 11 })
    fc.assert(
      fc.property(noise, fc.boolean(), (strewn, small) => {
        const code = makeCode().replace('-', '')
        const typed = [...code].map((character, i) => strewn[i] + character).join('') + strewn[10]
        expect(normaliseCode(small ? typed.toLowerCase() : typed)).toBe(code)
      }),
    )
  })

  it.each([
    '',
    'ABCDE',
    'ABCDE-FGHJ0',
    'ABCDE-FGHJI',
    'ABCDE-FGHJKM',
    'ABCDE_FGHJK',
    `${' '.repeat(60)}ABCDEFGHJK`,
  ])('refuses %j as a code', typed => {
    expect(normaliseCode(typed)).toBeNull()
  })

  it('makes secrets of 256 bits and hashes them by SHA-256 (FIPS 180-4 example "abc")', () => {
    expect(Buffer.from(makeSecret(), 'base64url')).toHaveLength(32)
    expect(hashSecret('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad')
  })
})

describe('rates', () => {
  it('grants a minute of tokens at once and then one at a time', () => {
    const rates = makeRates(6, 10)
    const waits = Array.from({ length: 7 }, () => rates.take('a', 0))
    expect(waits).toEqual([0, 0, 0, 0, 0, 0, 10_000])
    expect(rates.take('a', 9_999)).toBe(1)
    expect(rates.take('a', 10_000)).toBe(0)
    expect(rates.take('b', 10_000)).toBe(0)
  })

  it('never grants more than the saved minute plus what time brings, whatever the pattern', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(5_000), { minLength: 1, maxLength: 200 }), gaps => {
        const rates = makeRates(10, 10)
        let at = 0
        let granted = 0
        for (const gap of gaps) {
          at += gap
          if (rates.take('a', at) === 0) granted += 1
        }
        expect(granted).toBeLessThanOrEqual(10 + at / 6_000 + 1e-6)
      }),
    )
  })

  it('remembers no more names than it may, and forgets the one that was quiet longest', () => {
    const rates = makeRates(1, 3)
    for (let i = 0; i < 1_000; i++) rates.take(`name-${i}`, 0)
    expect(rates.size).toBe(3)
    expect(rates.take('name-999', 0)).toBeGreaterThan(0)
    expect(rates.take('name-0', 0)).toBe(0)
  })

  it('takes no tokens away when the wall clock is set back', () => {
    const rates = makeRates(2, 3)
    rates.take('a', 100_000)
    expect(rates.take('a', 0)).toBe(0)
    expect(rates.take('a', 0)).toBe(30_000)
  })

  it.each([
    ['192.0.2.7', '192.0.2.7'],
    ['::ffff:192.0.2.7', '192.0.2.7'],
    ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2::/64'],
    ['2001:DB8:1:2:ffff::1', '2001:db8:1:2::/64'],
    ['2001:db8::1', '2001:db8:0:0::/64'],
    ['2001:0db8:0000:0000::1', '2001:db8:0:0::/64'],
    ['::1', '0:0:0:0::/64'],
    ['fe80::1%eth0', 'fe80:0:0:0::/64'],
  ])('counts %s as %s', (address, group) => {
    expect(addressGroup(address)).toBe(group)
  })
})

describe('the session cookie', () => {
  it('is out of reach of scripts and other sites, and Secure where people come by https', () => {
    expect(sessionCookie('s', 60, false)).toBe('sunup_session=s; Path=/; HttpOnly; SameSite=Lax; Max-Age=60')
    expect(sessionCookie('s', 60, true)).toMatch(/; Secure$/)
  })

  it('is found among others, by its whole name', () => {
    expect(readCookie('a=1; sunup_session=xyz; b=2', 'sunup_session')).toBe('xyz')
    expect(readCookie('not_sunup_session=xyz', 'sunup_session')).toBeNull()
    expect(readCookie('sunup_session=', 'sunup_session')).toBeNull()
    expect(readCookie(`sunup_session=${'x'.repeat(201)}`, 'sunup_session')).toBeNull()
    expect(readCookie(undefined, 'sunup_session')).toBeNull()
  })
})
