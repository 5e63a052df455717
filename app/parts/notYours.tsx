import type { Person } from '../../server/access/access.ts'
import { homeOf } from '../../server/protocol/roles.ts'
import { PersonBar } from './personBar.tsx'
import css from './signInFirst.module.css'

/** Shown to somebody who is signed in and whose role doesn't open the page. */
export function NotYours({ what, person }: { what: string; person: Person }) {
  return (
    <>
      <PersonBar person={person} here={null} />
      <main className={css.page}>
        <h1>{what} is not for your role</h1>
        <p>
          You are signed in as {person.name}, {person.role}. Whoever set up your county’s Sunup can give you
          another role.
        </p>
        <p>
          <a href={homeOf[person.role]}>Go to your own page</a>
        </p>
      </main>
    </>
  )
}
