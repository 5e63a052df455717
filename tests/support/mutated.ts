import fc from 'fast-check'
import { randomOf } from '../../seed/simulator/random.ts'

/** Wrong messages without end, the same for the same seed: good ones with something changed, and pure noise. */

type Json = unknown

/** Values that have broken programs: names of prototypes, numbers at the edges, text that is not what it seems. */
const NASTY: readonly Json[] = [
  null,
  true,
  '',
  0,
  -1,
  -0.5,
  1e308,
  2 ** 53,
  '9'.repeat(400),
  '\u0000',
  '\u202e\ufeff',
  '\ud800',
  "'; drop table entry; --",
  '<script>alert(1)</script>',
  '../../../etc/passwd',
  '2026-13-40T99:99:99Z',
  [],
  [[]],
  {},
  { constructor: { prototype: { polluted: true } } },
  { toString: 1, valueOf: 2, length: -1 },
  { length: { toString: 1, valueOf: 2 } },
  JSON.parse('{"__proto__": {"polluted": true}}'),
  Array.from({ length: 600 }, () => 0),
  nested(200),
]

function nested(depth: number): Json {
  let value: Json = 'bottom'
  for (let i = 0; i < depth; i++) value = i % 2 === 0 ? [value] : { a: value }
  return value
}

/** @returns a generator of wrong variants of `good`, and now and then of any JSON at all */
export function mutations(seed: number, good: readonly Json[]): () => Json {
  const random = randomOf(seed, 'mutations')
  const noise = fc.sample(fc.jsonValue({ maxDepth: 4 }), { numRuns: 2_000, seed })
  const one = <T>(list: readonly T[]): T => list[random.whole(0, list.length - 1)]!
  const strange = () => (random.next() < 0.6 ? one(NASTY) : one(noise))
  return () => {
    if (random.next() < 0.1) return strange()
    let message: Json = structuredClone(one(good))
    for (let n = random.whole(1, 3); n > 0; n--) message = changed(message, random.next, strange)
    return message
  }
}

/** One change somewhere within: another value, a field away, a field more, a list longer. */
function changed(value: Json, chance: () => number, strange: () => Json): Json {
  if (typeof value !== 'object' || value === null || chance() < 0.15) return strange()
  if (Array.isArray(value)) {
    const copy = [...value]
    const at = Math.floor(chance() * (copy.length + 1))
    if (at === copy.length || chance() < 0.2) copy.splice(at, 0, strange())
    else copy[at] = changed(copy[at], chance, strange)
    return copy
  }
  const copy = { ...(value as Record<string, Json>) }
  const names = Object.keys(copy)
  const name = names[Math.floor(chance() * names.length)]
  const what = chance()
  if (name === undefined || what < 0.15) copy[`x${Math.floor(chance() * 1e6)}`] = strange()
  else if (what < 0.35) delete copy[name]
  else copy[name] = changed(copy[name], chance, strange)
  return copy
}
