import type { Kind } from './kinds.ts'
import { kinds } from './kinds.ts'

type Stored = { kind: Kind; version: number; body: unknown }

/** One pure step from version N to N + 1 of a kind: `steps.CountsReported = [v1 → v2, v2 → v3]`. */
const steps: Partial<Record<Kind, ReadonlyArray<(body: unknown) => unknown>>> = {}

/** The body of a stored entry as today's code means it. Throws on a version newer than this program. */
export function upcast(stored: Stored): unknown {
  const current = kinds[stored.kind].version
  if (stored.version > current)
    throw new Error(
      `${stored.kind} version ${stored.version} was written by a newer Sunup (this one knows ${current})`,
    )
  let body = stored.body
  for (let v = stored.version; v < current; v++) {
    const step = steps[stored.kind]?.[v - 1]
    if (!step) throw new Error(`no step lifts ${stored.kind} from version ${v} to ${v + 1}`)
    body = step(body)
  }
  return body
}
