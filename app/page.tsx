import css from './page.module.css'
import { ThemeSwitch } from './parts/themeSwitch.tsx'

export const dynamic = 'force-dynamic'

export default function FrontPage() {
  return (
    <main className={css.page}>
      <svg viewBox="0 0 560 120" className={css.arc} aria-hidden="true">
        <path d="M60 100C160 0 400 0 500 100" className={css.path} />
        <path d="M60 100C82 78 111 61 143 49" className={css.gone} />
        <path d="M0 100h560" className={css.path} />
        <circle cx="143" cy="49" r="9" className={css.sun} />
      </svg>
      <h1>Sunup</h1>
      <p>
        A county’s election day, live: which precincts will open on time, whom to call next and why, and what
        each place last said. Precincts report from a phone or tablet, or are heard by telephone; the desk
        answers.
      </p>
      <nav aria-label="Pages">
        <a href="/desk">
          <strong>The desk</strong>
          <span>for the elections office; needs a sign-in link</span>
        </a>
        <a href="/precinct">
          <strong>The precinct page</strong>
          <span>for workers at a polling place; needs an enrolment code</span>
        </a>
      </nav>
      <p className={css.caution}>
        Sunup is an operational picture. It never touches a vote, never connects to voting equipment and never
        shows results. Follow your state’s law, your county’s procedures and counsel.
      </p>
      <ThemeSwitch className="button quiet" />
    </main>
  )
}
