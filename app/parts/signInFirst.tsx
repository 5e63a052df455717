import type { GuardedPage } from '../../server/protocol/roles.ts'
import css from './signInFirst.module.css'

/** Shown where a page needs a person and nobody is signed in. `page`: where signing in leads back to. */
export function SignInFirst({ what, page }: { what: string; page: GuardedPage }) {
  return (
    <main className={css.page}>
      <h1>{what} needs you to be signed in</h1>
      <p>If you were signed in before, the session has ended: sign in again, and nothing is lost.</p>
      <p>
        <a className={`button ${css.go}`} href={`/sign-in?to=${encodeURIComponent(page)}`}>
          Sign in
        </a>
      </p>
      <p className={css.soft}>
        No password? Whoever set up your county’s Sunup gives you a one-time link: it works once; open it on
        this computer.
      </p>
      <p className={css.soft}>
        At a precinct? The <a href="/precinct">precinct page</a> needs an enrolment code instead; the desk
        gives it by telephone.
      </p>
    </main>
  )
}
