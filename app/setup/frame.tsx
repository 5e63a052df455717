import type { ReactNode } from 'react'
import type { Person } from '../../server/access/access.ts'
import { PersonBar } from '../parts/personBar.tsx'
import css from './setup.module.css'

const parts = [
  ['days', '/setup', 'Days'],
  ['people', '/setup/people', 'People and programs'],
] as const

/** The frame of every setup page: who is signed in, the parts of the setup, and the caution. */
export function SetupFrame({
  person,
  part,
  children,
}: {
  person: Person
  part: (typeof parts)[number][0]
  children: ReactNode
}) {
  const { name, role } = person
  return (
    <>
      <PersonBar person={{ name, role }} here="/setup" />
      <main className={css.page}>
        <nav aria-label="Setup" className={css.parts}>
          {parts.map(([key, path, title]) => (
            <a key={key} href={path} aria-current={key === part ? 'page' : undefined}>
              {title}
            </a>
          ))}
        </nav>
        {children}
        <p className={css.caution}>
          Sunup is an operational picture. It never touches a vote, never connects to voting equipment and
          never shows results. Follow your state’s law, your county’s procedures and counsel.
        </p>
      </main>
    </>
  )
}
