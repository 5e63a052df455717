import type { ReactNode } from 'react'
import type { Person } from '../../server/access/access.ts'
import { currentPerson } from '../../server/access/session.ts'
import { type GuardedPage, roleOpens } from '../../server/protocol/roles.ts'
import { NotYours } from './notYours.tsx'
import { SignInFirst } from './signInFirst.tsx'

/**
 * The one guard of pages (P14): who is signed in and may open `page`, or what to show instead. What a page then
 * asks of the server is guarded there again, by role.
 */
export async function guarded(
  page: GuardedPage,
  title: string,
): Promise<{ person: Person } | { instead: ReactNode }> {
  const person = await currentPerson()
  if (person === null) return { instead: <SignInFirst what={title} page={page} /> }
  if (!roleOpens(person.role, page)) return { instead: <NotYours what={title} person={person} /> }
  return { person }
}
