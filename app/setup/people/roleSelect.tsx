'use client'
import { type Role, roles } from '../../../server/protocol/roles.ts'

/** One of the roles; `of` leaves out those that don't fit. */
export function RoleSelect<R extends Role>({
  id,
  role,
  of,
  onRole,
}: {
  id: string
  role: R
  of?: readonly R[]
  onRole(role: R): void
}) {
  return (
    <select id={id} value={role} onChange={event => onRole(event.target.value as R)}>
      {(of ?? roles).map(r => (
        <option key={r} value={r}>
          {r}
        </option>
      ))}
    </select>
  )
}
