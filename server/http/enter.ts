import type { Access, Entered, Person } from '../access/access.ts'
import { BROWSER_COOKIE, browserCookie, readCookie, SESSION_COOKIE, sessionCookie } from '../access/cookie.ts'
import { type GuardedPage, homeOf, pageRoles, roleOpens } from '../protocol/roles.ts'
import { type Answer, refuse } from './answer.ts'
import { readForm } from './body.ts'
import { originAllowed } from './caller.ts'
import {
  askPage,
  invitedPage,
  leftPage,
  noLinkPage,
  passwordPage,
  signedInPage,
  signInPage,
  usedPage,
} from './enterPage.ts'
import type { Asked, Route } from './routes.ts'

const secretForm = /^[A-Za-z0-9_-]{20,100}$/

export type EnterAccess = Pick<
  Access,
  'lookAtLink' | 'spendLink' | 'setPassword' | 'signIn' | 'personOfSession' | 'endSession'
>

/**
 * Signing in and out: by a link, by e-mail and password, and setting the password. GET of a link shows a button, so
 * that a mail filter or a preview that opens it doesn't use it up; POST uses it. Every POST comes from a page of our
 * own; whoever comes in goes to the page of their role, or to the one that they asked for.
 */
export function enterRoutes(
  access: EnterAccess,
  settings: { secure: boolean; publicUrl: string | null },
  now: () => number,
): Route[] {
  const { secure } = settings
  const sessionOf = ({ request }: Asked) => readCookie(request.headers.cookie, SESSION_COOKIE)
  const personHere = async (asked: Asked): Promise<Person | null> => {
    const session = sessionOf(asked)
    return session === null ? null : access.personOfSession(session)
  }
  const noLink = async (asked: Asked) => html(410, usedPage(await personHere(asked)))

  /** The cookie of a session that has begun; the one that this browser had before is ended. */
  async function letIn(
    asked: Asked,
    entered: Entered & { browser?: { secret: string; until: number } },
    to: string = homeOf[entered.person.role],
  ): Promise<Answer> {
    const before = sessionOf(asked)
    if (before !== null) await access.endSession(before)
    const seconds = (until: number) => Math.floor((until - now()) / 1_000)
    const { browser } = entered
    const cookies = [sessionCookie(entered.session, seconds(entered.expiresAt), secure)]
    if (browser) cookies.push(browserCookie(browser.secret, seconds(browser.until), secure))
    return { ...html(303, ''), headers: { Location: to, 'Set-Cookie': cookies } }
  }

  /** A form sent by a page of ours, or the answer to anything else. */
  const form = (
    pattern: string,
    handle: (fields: URLSearchParams, asked: Asked) => Promise<Answer>,
  ): Route => ({
    method: 'POST',
    pattern,
    who: 'anyone',
    body: 'none',
    async handle(asked) {
      if (!originAllowed(asked.request.headers, settings.publicUrl))
        return refuse(403, 'This form was not sent from a page of this server.', { path: 'Origin' })
      const read = await readForm(asked.request)
      return read.ok ? handle(read.value, asked) : read.answer
    },
  })

  return [
    {
      method: 'GET',
      pattern: '/enter',
      who: 'anyone',
      async handle(asked) {
        const secret = asked.query.get('key') ?? ''
        if (!secretForm.test(secret)) return html(200, noLinkPage())
        const link = await access.lookAtLink(secret)
        if (link === null) return noLink(asked)
        return html(200, link.purpose === 'password' ? invitedPage(secret) : askPage(secret))
      },
    },
    form('/enter', async (fields, asked) => {
      const secret = fields.get('key') ?? ''
      if (!secretForm.test(secret)) return noLink(asked)
      const entered = await access.spendLink(secret)
      if (entered !== null) return letIn(asked, entered)
      const link = await access.lookAtLink(secret)
      if (link?.purpose !== 'password') return noLink(asked)
      return html(200, passwordPage({ ...link, secret, problem: null, nonce: nonceOf(asked) }))
    }),
    form('/enter/password', async (fields, asked) => {
      const secret = fields.get('key') ?? ''
      const link = secretForm.test(secret) ? await access.lookAtLink(secret) : null
      if (link === null) return noLink(asked)
      const outcome = await access.setPassword(secret, fields.get('password') ?? '')
      if (outcome.ok) return letIn(asked, outcome)
      if (outcome.reason !== 'refused' && outcome.reason !== 'too-many') return noLink(asked)
      const problem = outcome.reason === 'refused' ? outcome.message : busy(outcome.retryAfter)
      const again = passwordPage({ ...link, secret, problem, nonce: nonceOf(asked) })
      return outcome.reason === 'refused' ? html(422, again) : later(again, outcome.retryAfter)
    }),
    {
      method: 'GET',
      pattern: '/sign-in',
      who: 'anyone',
      async handle(asked) {
        const person = await personHere(asked)
        const to = asked.query.get('to') ?? ''
        if (person === null)
          return html(200, signInPage({ email: '', to, problem: null, nonce: nonceOf(asked) }))
        return html(200, signedInPage(person))
      },
    },
    form('/sign-in', async (fields, asked) => {
      const email = (fields.get('email') ?? '').slice(0, 200)
      const to = fields.get('to') ?? ''
      const browser = readCookie(asked.request.headers.cookie, BROWSER_COOKIE)
      const from = { address: asked.address, browser }
      const outcome = await access.signIn(email, fields.get('password') ?? '', from)
      if (outcome.ok) return letIn(asked, outcome, pageFor(outcome.person, to))
      const again = (problem: string) => signInPage({ email, to, problem, nonce: nonceOf(asked) })
      if (outcome.reason === 'too-many') return later(again(busy(outcome.retryAfter)), outcome.retryAfter)
      return html(403, again('E-mail or password is not right.'))
    }),
    form('/leave', async (_fields, asked) => {
      const session = sessionOf(asked)
      if (session !== null) await access.endSession(session)
      return { ...html(200, leftPage()), headers: { 'Set-Cookie': sessionCookie('', 0, secure) } }
    }),
  ]
}

/** Only pages of ours that the role opens: an address from elsewhere leads to the person's own page. */
function pageFor(person: Person, to: string): string {
  const path = to.split('?')[0]!
  return Object.hasOwn(pageRoles, path) && roleOpens(person.role, path as GuardedPage)
    ? path
    : homeOf[person.role]
}

function busy(retryAfter: number): string {
  const seconds = Math.ceil(retryAfter / 1_000)
  return `Too many tries just now. Wait ${seconds} ${seconds === 1 ? 'second' : 'seconds'} and try again. A one-time link signs you in at once.`
}

function later(text: string, retryAfter: number): Answer {
  return {
    ...html(429, text),
    headers: { 'Retry-After': String(Math.max(1, Math.ceil(retryAfter / 1_000))) },
  }
}

/** Put on the request by secureHeaders. */
function nonceOf({ request }: Asked): string {
  return String(request.headers['x-nonce'] ?? '')
}

function html(status: number, text: string): Answer {
  return { status, text, type: 'text/html; charset=utf-8' }
}
