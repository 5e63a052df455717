import { cookies } from 'next/headers'
import type { Person } from './access.ts'
import { SESSION_COOKIE } from './cookie.ts'
import { placedAccess } from './place.ts'

/** The one door between pages and server: who is signed in; null: nobody. For the server side of pages only. */
export async function currentPerson(): Promise<Person | null> {
  const session = (await cookies()).get(SESSION_COOKIE)?.value
  return session ? placedAccess().personOfSession(session) : null
}
