import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { problemsOf, readAs } from '../../../server/domain/log/check.ts'
import { kinds } from '../../../server/domain/log/kinds.ts'
import { operations } from '../../../server/protocol/api/operations.ts'
import { mutations } from '../../support/mutated.ts'

/** Words that a library says of its own types: of no use to who wrote the message. */
const LIBRARY = /Invalid|Too (small|big)|Unrecognized|Expected|expected .*received/

const messageOf = (schema: z.ZodType, value: unknown) => {
  const read = readAs(schema, value)
  return read.success
    ? ''
    : problemsOf(read.error)
        .map(p => `${p.path}: ${p.message}`)
        .join('; ')
}

describe('what is wrong with a message', () => {
  it.each<[z.ZodType, unknown, string]>([
    [z.strictObject({ inLine: z.int().min(0).max(9) }), {}, 'inLine: must be given'],
    [
      z.strictObject({ inLine: z.int().min(0).max(9) }),
      { inLine: '3' },
      'inLine: a number without quotation marks, not text',
    ],
    [z.strictObject({ inLine: z.int().min(0).max(9) }), { inLine: 2.5 }, 'inLine: a whole number'],
    [z.strictObject({ inLine: z.int().min(0).max(9) }), { inLine: -1 }, 'inLine: at least 0'],
    [z.strictObject({ inLine: z.int().min(0).max(9) }), { inLine: 10 }, 'inLine: at most 9'],
    [z.strictObject({ per: z.number().positive() }), { per: 0 }, 'per: more than 0'],
    [z.strictObject({ per: z.number().lt(5) }), { per: 5 }, 'per: less than 5'],
    [
      z.strictObject({ what: z.string().min(3).max(5) }),
      { what: 'ab' },
      'what: at least 3 characters, not 2',
    ],
    [
      z.strictObject({ what: z.string().min(3).max(5) }),
      { what: 'abcdef' },
      'what: at most 5 characters, not 6',
    ],
    [z.strictObject({ what: z.string().min(3).max(5) }), { what: '' }, 'what: must be given'],
    [z.strictObject({ role: z.enum(['desk', 'rover']) }), { role: 'king' }, 'role: one of desk, rover'],
    [z.strictObject({ role: z.enum(['desk', 'rover']) }), {}, 'role: must be given: one of desk, rover'],
    [
      z.strictObject({ at: z.iso.datetime() }),
      { at: 'noon' },
      'at: a time with its offset, as 2026-11-03T06:30:00-05:00',
    ],
    [
      z.strictObject({ date: z.iso.date() }),
      { date: '2026-02-30' },
      'date: a date that there is, as YYYY-MM-DD',
    ],
    [z.strictObject({ items: z.array(z.string()).max(1) }), { items: ['a', 'b'] }, 'items: at most 1, not 2'],
    [
      z.strictObject({ items: z.array(z.string()) }),
      { items: {} },
      'items: a list in brackets [ ], not an object',
    ],
    [z.strictObject({}), { more: 1 }, ': unknown: more'],
    [z.strictObject({}), null, ': must be given'],
    [z.union([z.string(), z.number()]), {}, ': none of the forms that this may have'],
    [
      z.strictObject({ e: z.email('who is invited needs an e-mail') }),
      { e: 'x' },
      'e: who is invited needs an e-mail',
    ],
  ])('%# is said by field, with what would do and what was found', (schema, value, words) => {
    expect(messageOf(schema, value)).toBe(words)
  })

  it('is said in no library’s words, whatever is sent to any route or as any kind of report', () => {
    const bodies = operations.flatMap(o => (o.body ? [{ schema: o.body, good: o.example.body }] : []))
    const reports = Object.values(kinds).map(({ body }) => ({
      schema: body as z.ZodType,
      good: { at: 1, list: [] },
    }))
    let refused = 0
    for (const { schema, good } of [...bodies, ...reports]) {
      const next = mutations(11, [good])
      for (let i = 0; i < 120; i++) {
        const words = messageOf(schema, next())
        if (words === '') continue
        refused++
        // What somebody sent may be named in the words; none of these holds a library's.
        expect(words.replace(/unknown: .*/, '')).not.toMatch(LIBRARY)
      }
    }
    expect(refused).toBeGreaterThan(3_000)
  })
})
