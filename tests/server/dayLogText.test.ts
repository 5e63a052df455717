import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Entry } from '../../server/domain/log/entry.ts'
import { fingerprint } from '../../server/domain/log/fingerprint.ts'
import { entryText, parseEntry } from '../../server/domain/log/text.ts'

const entry: Entry = {
  kind: 'LineReported',
  version: 1,
  precinct: 'E-01',
  source: 'device:d-1',
  number: 7,
  occurredAt: Date.UTC(2026, 10, 3, 14, 0, 0, 5),
  origin: { via: 'device', skewSeconds: -120 },
  body: { inLine: 12 },
  position: 41,
  recordedAt: Date.UTC(2026, 10, 3, 14, 0, 1),
}

describe('the text of an entry', () => {
  it('P13: is these bytes and no others', () => {
    expect(entryText('a-day', entry)).toBe(
      '{"day":"a-day","position":41,"kind":"LineReported","version":1,"precinct":"E-01","source":"device:d-1","number":7,' +
        '"occurredAt":"2026-11-03T14:00:00.005Z","recordedAt":"2026-11-03T14:00:01.000Z",' +
        '"origin":{"via":"device","skewSeconds":-120},"body":{"inLine":12}}',
    )
  })

  it('reads back as the entry it was, with and without precinct and number', () => {
    expect(parseEntry(entryText('a-day', entry))).toEqual(entry)
    const system = { ...entry, precinct: null, number: null, source: 'system' }
    expect(parseEntry(entryText('a-day', system))).toEqual(system)
  })

  it('is one line whatever is said in it, and says it again unchanged', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.jsonValue(), (said, value) => {
        const odd = {
          ...entry,
          origin: { via: 'caller', spoke: said },
          body: { said, value },
        } as unknown as Entry
        const text = entryText(said, odd)
        for (const broken of ['\r', '\n', '\u0000']) expect(text).not.toContain(broken)
        expect(JSON.parse(text).day).toBe(said)
        expect(parseEntry(text)).toEqual(JSON.parse(JSON.stringify(odd)))
      }),
    )
  })

  it('P11: a kind or version that this program does not know is refused, never half read', () => {
    const text = entryText('a-day', entry)
    expect(() => parseEntry(text.replace('LineReported', 'LineForetold'))).toThrow('newer Sunup')
    expect(() => parseEntry(text.replace('"version":1', '"version":99'))).toThrow('newer Sunup')
  })
})

describe('the fingerprint of what was sent', () => {
  const of = (body: unknown, at = '2026-11-03T14:00:00Z', kind = 'LineReported') =>
    fingerprint(at, kind, body)

  it('is the same for the same content, whatever the order of its keys', () => {
    expect(of({ a: 1, b: { c: [1, 2], d: 'x' } })).toBe(of({ b: { d: 'x', c: [1, 2] }, a: 1 }))
    fc.assert(
      fc.property(fc.jsonValue(), value => {
        expect(of(value)).toBe(of(JSON.parse(JSON.stringify(value))))
      }),
    )
  })

  it('differs where anything differs', () => {
    const contents = [
      {},
      { a: 1 },
      { a: 2 },
      { a: '1' },
      { a: [1] },
      { a: null },
      { b: 1 },
      { a: 1, b: 1 },
      [{ a: 1 }],
      { a: [1, 2] },
      { a: [2, 1] },
    ]
    const all = contents.map(body => of(body))
    all.push(of({ a: 1 }, '2026-11-03T14:00:01Z'), of({ a: 1 }, undefined, 'PollsOpened'))
    expect(new Set(all).size).toBe(all.length)
  })

  it('spreads over 53 bits: 200,000 neighbouring contents have no fingerprint in common', () => {
    const seen = new Set<bigint>()
    for (let inLine = 0; inLine < 200_000; inLine++) seen.add(of({ inLine }))
    expect(seen.size).toBe(200_000)
    let high = 0
    for (const value of seen) {
      if (value < 0n || value >= 2n ** 53n) throw new Error(`${value} is not of 53 bits`)
      if (value >= 2n ** 52n) high++
    }
    expect(Math.abs(high - 100_000)).toBeLessThan(2_000)
  })
})
