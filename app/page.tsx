import type { Metadata } from 'next'
import { currentPerson } from '../server/access/session.ts'
import { type GuardedPage, roleOpens } from '../server/protocol/roles.ts'
import css from './page.module.css'
import { PersonBar } from './parts/personBar.tsx'
import { ThemeSwitch } from './parts/themeSwitch.tsx'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: { absolute: 'Sunup' } }

const pages: ReadonlyArray<[page: GuardedPage, title: string, what: string]> = [
  ['/desk', 'The desk', 'the board of the whole county, and whom to call next'],
  ['/rover', 'My errands', 'where the desk sends you, and what to bring'],
  ['/receiving', 'Receiving', 'returns expected, checked in and compared'],
  ['/review', 'Review', 'the day as it was known at any instant'],
  ['/setup', 'Setup', 'days, plans, devices and people'],
]

/** Where to begin: the pages of who is signed in, or how to come in. */
export default async function FrontPage() {
  const person = await currentPerson()
  return (
    <>
      {person && <PersonBar person={{ name: person.name, role: person.role }} here={null} />}
      <main className={css.page}>
        <svg viewBox="0 0 560 120" className={css.arc} aria-hidden="true">
          <path d="M60 100C160 0 400 0 500 100" className={css.path} />
          <path d="M60 100C82 78 111 61 143 49" className={css.gone} />
          <path d="M0 100h560" className={css.path} />
          <circle cx="143" cy="49" r="9" className={css.sun} />
        </svg>
        <h1>Sunup</h1>
        <p>
          A county’s election day, live: which precincts will open on time, whom to call next and why, and
          what each place last said. Precincts report from a phone or tablet, or are heard by telephone; the
          desk answers.
        </p>
        <nav aria-label="Where to begin">
          {person === null ? (
            <Begin
              href="/sign-in"
              title="Sign in"
              what="for the elections office, rovers and receiving stations"
            />
          ) : (
            pages
              .filter(([page]) => roleOpens(person.role, page))
              .map(([page, title, what]) => <Begin key={page} href={page} title={title} what={what} />)
          )}
          <Begin
            href="/precinct"
            title="The precinct page"
            what="for workers at a polling place; needs an enrolment code"
          />
        </nav>
        <p className={css.caution}>
          Sunup is an operational picture. It never touches a vote, never connects to voting equipment and
          never shows results. Follow your state’s law, your county’s procedures and counsel.
        </p>
        <ThemeSwitch className="button quiet" />
      </main>
    </>
  )
}

function Begin({ href, title, what }: { href: string; title: string; what: string }) {
  return (
    <a href={href}>
      <strong>{title}</strong>
      <span>{what}</span>
    </a>
  )
}
