'use client'
import css from './page.module.css'

/** Shown where a page of ours broke. What devices and people said is in the log, not in the page. */
export default function PageBroke({ reset }: { reset(): void }) {
  return (
    <main className={css.page}>
      <h1>This page broke</h1>
      <p role="alert">
        Something went wrong in the page. Nothing that was acknowledged is lost by it: the record is on the
        server, and what a tablet has not sent yet is kept on the tablet.
      </p>
      <p>
        <button type="button" className="button" onClick={reset}>
          Try again
        </button>
      </p>
      <p>
        <a href="/">Where to begin</a>
      </p>
    </main>
  )
}
