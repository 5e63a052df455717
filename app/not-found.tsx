import css from './page.module.css'

/** An address of ours that leads nowhere. */
export default function NotFound() {
  return (
    <main className={css.page}>
      <h1>There is no such page</h1>
      <p>The address is not one of ours, or it has been cut off on its way.</p>
      <p>
        <a href="/">Where to begin</a>
      </p>
    </main>
  )
}
