import type { Access } from '../access/access.ts'
import { readCookie, SESSION_COOKIE, sessionCookie } from '../access/cookie.ts'
import { type Answer, refuse } from './answer.ts'
import { readForm } from './body.ts'
import { originAllowed } from './caller.ts'
import { askPage, leftPage, noLinkPage, usedPage } from './enterPage.ts'
import type { Route } from './routes.ts'

const secretForm = /^[A-Za-z0-9_-]{20,100}$/

/**
 * Signing in and out. GET shows a button, so that a mail filter or a preview that opens the link doesn't use it
 * up; POST uses the link, sets the cookie and goes to the desk. Both POSTs come from our own pages only.
 */
export function enterRoutes(
  access: Pick<Access, 'spendLink' | 'personOfSession' | 'endSession'>,
  settings: { secure: boolean; publicUrl: string | null },
  now: () => number,
): Route[] {
  const foreign = refuse(403, 'This form was not sent from a page of this server.', { path: 'Origin' })
  return [
    {
      method: 'GET',
      pattern: '/enter',
      who: 'anyone',
      handle({ query }) {
        const secret = query.get('key') ?? ''
        return secretForm.test(secret) ? html(200, askPage(secret)) : html(200, noLinkPage())
      },
    },
    {
      method: 'POST',
      pattern: '/enter',
      who: 'anyone',
      body: 'none',
      async handle({ request }) {
        if (!originAllowed(request.headers, settings.publicUrl)) return foreign
        const form = await readForm(request)
        if (!form.ok) return form.answer
        const secret = form.value.get('key') ?? ''
        const entered = secretForm.test(secret) ? await access.spendLink(secret) : null
        if (entered === null) {
          const session = readCookie(request.headers.cookie, SESSION_COOKIE)
          return html(410, usedPage(session !== null && (await access.personOfSession(session)) !== null))
        }
        const seconds = Math.floor((entered.expiresAt - now()) / 1_000)
        return {
          ...html(303, ''),
          headers: {
            Location: '/desk',
            'Set-Cookie': sessionCookie(entered.session, seconds, settings.secure),
          },
        }
      },
    },
    {
      method: 'POST',
      pattern: '/leave',
      who: 'anyone',
      body: 'none',
      async handle({ request }) {
        if (!originAllowed(request.headers, settings.publicUrl)) return foreign
        const session = readCookie(request.headers.cookie, SESSION_COOKIE)
        if (session !== null) await access.endSession(session)
        return { ...html(200, leftPage()), headers: { 'Set-Cookie': sessionCookie('', 0, settings.secure) } }
      },
    },
  ]
}

function html(status: number, text: string): Answer {
  return { status, text, type: 'text/html; charset=utf-8' }
}
