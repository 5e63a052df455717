import { type GuardedPage, type Role, roleOpens } from '../../server/protocol/roles.ts'
import css from './foot.module.css'

const elsewhere: ReadonlyArray<[GuardedPage, string]> = [
  ['/rover', 'Errands'],
  ['/receiving', 'Receiving'],
  ['/review', 'Review'],
  ['/setup', 'Setup'],
]

/** Who sits at this desk, where else their role leads, and the way out: at the foot, so that the picture keeps its room. */
export function FootPerson({ name, role }: { name: string; role: Role }) {
  return (
    <form method="post" action="/leave" className={css.person}>
      {elsewhere
        .filter(([page]) => roleOpens(role, page))
        .map(([page, title]) => (
          <a key={page} href={page}>
            {title}
          </a>
        ))}
      <span>
        {name}, {role}
      </span>
      <button type="submit" className={css.tool}>
        Sign out
      </button>
    </form>
  )
}
