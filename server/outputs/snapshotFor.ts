import type { Snapshot } from '../protocol/board.ts'
import { type Role, roleSeesContacts } from '../protocol/roles.ts'
import { picturedFor } from './withoutSeals.ts'

/**
 * A snapshot without what the role need not know (P14): rovers' telephones are for those who send them and for the
 * rovers, seals' numbers are not for who checks returns in. The rest of it, rows, calls and patches too, holds no
 * contacts and no words that people wrote.
 */
export function snapshotFor(role: Role, whole: Snapshot): Snapshot {
  const snapshot = picturedFor(role, whole)
  if (roleSeesContacts(role) || role === 'rover') return snapshot
  const rovers = snapshot.plan.rovers.map(rover => ({ ...rover, phone: '' }))
  return { ...snapshot, plan: { ...snapshot.plan, rovers } }
}
