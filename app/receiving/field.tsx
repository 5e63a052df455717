import type { ReactNode } from 'react'
import css from './receiving.module.css'

type Given = { id: string; 'aria-invalid': true | undefined; 'aria-describedby': string | undefined }

type Props = {
  id: string
  label: string
  help?: string
  problem: string | undefined
  children(props: Given): ReactNode
}

/** A label, its field, and beside it what is wrong with it: all three read out together. */
export function Field({ id, label, help, problem, children }: Props) {
  const told = [help && `${id}h`, problem && `${id}p`].filter(Boolean).join(' ')
  return (
    <div className={css.field}>
      <label htmlFor={id}>{label}</label>
      {help && (
        <span id={`${id}h`} className={css.soft}>
          {help}
        </span>
      )}
      {children({ id, 'aria-invalid': problem ? true : undefined, 'aria-describedby': told || undefined })}
      {problem && (
        <em id={`${id}p`} className="wrong">
          {problem}
        </em>
      )}
    </div>
  )
}
