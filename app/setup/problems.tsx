import type { Problem } from '../../server/protocol/device.ts'
import css from './setup.module.css'

/** Why not, one by one, each with its field. */
export function Problems({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return null
  return (
    <ul role="alert" className={css.problems}>
      {problems.map(({ path, message }) => (
        <li key={`${path} ${message}`}>
          {path !== '' && path !== 'body' && <strong>{path}: </strong>}
          {message}
        </li>
      ))}
    </ul>
  )
}
