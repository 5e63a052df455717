import css from './signInFirst.module.css'

/** Shown where a page needs a person and nobody is signed in. */
export function SignInFirst({ what }: { what: string }) {
  return (
    <main className={css.page}>
      <h1>{what} needs you to be signed in</h1>
      <p>
        Ask the administrator of your county’s Sunup for a sign-in link. It works once; open it on this
        computer.
      </p>
      <p>
        If you were signed in before, the session has ended: a new link brings you back, and nothing is lost.
      </p>
      <p className={css.soft}>
        At a precinct? The <a href="/precinct">precinct page</a> needs an enrolment code instead; the desk
        gives it by telephone.
      </p>
    </main>
  )
}
