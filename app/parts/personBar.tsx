import type { Person } from '../../server/access/access.ts'
import { type GuardedPage, roleOpens } from '../../server/protocol/roles.ts'
import css from './personBar.module.css'

const pages: ReadonlyArray<[GuardedPage, string]> = [
  ['/desk', 'Desk'],
  ['/rover', 'Errands'],
  ['/receiving', 'Receiving'],
  ['/review', 'Review'],
  ['/setup', 'Setup'],
]

/** Who is signed in, the pages that their role opens, and the way out. `here`: the page that this is. */
export function PersonBar({
  person,
  here,
}: {
  person: Pick<Person, 'name' | 'role'>
  here: GuardedPage | null
}) {
  return (
    <div className={css.bar}>
      <nav aria-label="Pages" className={css.pages}>
        {pages
          .filter(([page]) => roleOpens(person.role, page))
          .map(([page, title]) => (
            <a key={page} href={page} aria-current={page === here ? 'page' : undefined}>
              {title}
            </a>
          ))}
      </nav>
      <form method="post" action="/leave" className={css.who}>
        <span>
          {person.name}, {person.role}
        </span>
        <button type="submit" className={css.leave}>
          Sign out
        </button>
      </form>
    </div>
  )
}
