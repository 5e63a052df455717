import type { IncomingHttpHeaders } from 'node:http'
import type { Access } from '../access/access.ts'
import { readCookie, SESSION_COOKIE } from '../access/cookie.ts'
import { type GuardedPage, pageRoles, roleOpens } from '../protocol/roles.ts'

/**
 * The status of a page, by the one table (P14): 401 where it wants somebody signed in and nobody is, 403 where it is
 * not for their role. What is shown then is the page's own guard's (app/parts/guard.tsx).
 */
export async function pageStatus(
  access: Pick<Access, 'personOfSession'>,
  path: string,
  headers: IncomingHttpHeaders,
): Promise<200 | 401 | 403> {
  const page = guardedPageOf(path)
  if (page === null) return 200
  const session = readCookie(headers.cookie, SESSION_COOKIE)
  const person = session === null ? null : await access.personOfSession(session)
  if (person === null) return 401
  return roleOpens(person.role, page) ? 200 : 403
}

/** The longest guarded page that the path is, or stands below. */
function guardedPageOf(path: string): GuardedPage | null {
  const above = (Object.keys(pageRoles) as GuardedPage[]).filter(
    page => path === page || path.startsWith(`${page}/`),
  )
  return above.sort((a, b) => b.length - a.length)[0] ?? null
}
