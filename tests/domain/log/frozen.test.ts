import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import type { z } from 'zod'
import { fold } from '../../../server/domain/day/fold.ts'
import { initialDay } from '../../../server/domain/day/initial.ts'
import { type Kind, kinds } from '../../../server/domain/log/kinds.ts'
import { entryText, parseEntry } from '../../../server/domain/log/text.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'

/**
 * One entry of each kind and version as it was once written, `{text, hash}` a line. These files are never changed:
 * a new kind or version comes as a line of a new file (entries-v2.jsonl …), which goes on with the chain.
 */
const folder = fileURLToPath(new URL('../../reference/', import.meta.url))
const frozen = readdirSync(folder)
  .filter(file => /^entries-v\d+\.jsonl$/.test(file))
  .sort()
  .flatMap(file => readFileSync(`${folder}${file}`, 'utf8').trimEnd().split('\n'))
  .map(line => JSON.parse(line) as { text: string; hash: string })
const written = frozen.map(({ text }) => JSON.parse(text) as { kind: Kind; version: number; body: object })

/**
 * SHA-256 of the state that they fold to. When it differs, a day of last year is read differently today:
 * - the state has gained or renamed a field and every old one means what it meant: write the new digest here;
 * - an entry means something else now: that is a new version of its kind, with a step in upcast.ts.
 */
const DIGEST = 'eceb12d5a393337f5b660ec509dbf044db4f5000d840ab325e4197a48ac51b93'

/** Keys in order, maps as lists: equal states have equal texts. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, v: unknown) => {
    if (v instanceof Map) return [...v].sort(([a], [b]) => (String(a) < String(b) ? -1 : 1))
    if (v instanceof Set) return [...v].sort()
    if (typeof v !== 'object' || v === null || Array.isArray(v)) return v
    return Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)))
  })
}

describe('entries as they were once written', () => {
  it('hold every kind at every version that there has been', () => {
    const has = new Set(written.map(({ kind, version }) => `${kind} ${version}`))
    const wanted = Object.entries(kinds).flatMap(([kind, { version }]) =>
      Array.from({ length: version }, (_, i) => `${kind} ${i + 1}`),
    )
    expect(wanted.filter(name => !has.has(name))).toEqual([])
  })

  it('P13: are chained by SHA-256 over the hash before, a line break and the text', () => {
    let hash = '0'.repeat(64)
    for (const entry of frozen) {
      hash = createHash('sha256').update(`${hash}\n${entry.text}`).digest('hex')
      expect(entry.hash).toBe(hash)
    }
  })

  it('are read, fit today’s schema of their kind, and are written again to the very same bytes', () => {
    for (const { text } of frozen) {
      const entry = parseEntry(text)
      const { body, erasable, version } = kinds[entry.kind]
      // Words that may be erased are not in the log's text.
      const schema =
        erasable.length === 0
          ? body
          : (body as z.ZodObject).omit(Object.fromEntries(erasable.map(field => [field, true])) as never)
      const checked = (schema as z.ZodType).safeParse(entry.body)
      expect(checked.error?.issues, text).toBeUndefined()
      if (JSON.parse(text).version === version) expect(entryText(DAY, entry)).toBe(text)
    }
  })

  it('P11: fold to the state that they always folded to', () => {
    const index = indexOf(aPlan({ kind: 'election' }), DAY)
    const state = fold(
      initialDay(DAY, index),
      frozen.map(({ text }) => parseEntry(text)),
      index,
    )
    expect(state).toMatchObject({ cursor: frozen.length, closed: true, kind: 'election' })
    const harbor = state.precincts.get('E-01')!
    expect(harbor.openedAt).toBe(Date.parse('2026-11-03T06:30:00-05:00'))
    expect(harbor.closedAt).toBe(Date.parse('2026-11-03T19:30:00-05:00'))
    expect(harbor.incidents).toBe(1)
    expect(createHash('sha256').update(canonical(state)).digest('hex'), 'see above DIGEST').toBe(DIGEST)
  })
})
