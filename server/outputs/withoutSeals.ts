import type { Reason } from '../domain/day/state.ts'
import { type Role, roleSeesSeals } from '../protocol/roles.ts'

/**
 * Every name under which a seal's number, expected or found, stands in the body of an entry or in the evidence of a
 * reason.
 */
const SEAL_FIELDS: ReadonlySet<string> = new Set(['seals', 'found', 'planned', 'sealsMissing', 'sealsExtra'])

/**
 * What was said, without its seals' numbers: the body of an entry, or a reason. The fields are left out whole, so
 * that not even how many there are is told.
 */
export function withoutSeals<T extends object>(said: T): T {
  const kept = Object.entries(said)
    .filter(([name]) => !SEAL_FIELDS.has(name))
    .map(([name, value]) => [name, name === 'evidence' ? withoutSeals(value) : value])
  return Object.fromEntries(kept)
}

/** A picture's rows and calls, or a patch's, as the role may see them (P14). */
export function picturedFor<P extends { rows: ReadonlyArray<Reasoned>; calls?: ReadonlyArray<Reasoned> }>(
  role: Role,
  picture: P,
): P {
  if (roleSeesSeals(role)) return picture
  const { rows, calls } = picture
  return { ...picture, rows: rows.map(plain), ...(calls ? { calls: calls.map(plain) } : {}) }
}

type Reasoned = { reasons: readonly Reason[] }

function plain<R extends Reasoned>(row: R): R {
  return row.reasons.length === 0 ? row : { ...row, reasons: row.reasons.map(withoutSeals) }
}
