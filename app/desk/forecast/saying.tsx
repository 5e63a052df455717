import css from './forecast.module.css'
import type { Said } from './forecastWords.ts'

/** What is forecast, and why. */
export function Saying({ said }: { said: Said }) {
  return (
    <div className={css.said}>
      <h4>{said.title}</h4>
      <p>{said.says}</p>
      <p className={css.soft}>{said.because}</p>
    </div>
  )
}
