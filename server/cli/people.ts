import { createHash } from 'node:crypto'
import { z } from 'zod'
import { type Access, type Account, BY_COMMAND, type MadeLink } from '../access/access.ts'
import { LINK_VALID_MS } from '../access/people.ts'
import { readAs } from '../domain/log/check.ts'
import { toRfc3339 } from '../domain/time.ts'
import { type Role, roles } from '../protocol/roles.ts'
import { invite } from '../protocol/setup.ts'

/** The words of the `sunup` command about people. Each gives the exit code. */

export const PEOPLE_USAGE = `sunup link NAME --role ROLE [--post CODE]
                              a one-time sign-in link's path for a person without a password (${roles.join(', ')})
sunup people                  everybody who may sign in
sunup people add NAME --email E --role ROLE [--post CODE]
                              an account, and the link by which its owner sets a password
sunup people password E       a link to set a new password
sunup people off E            switch an account off: its sessions end at once; people on E switches it on again`

type PeopleHands = {
  access: Pick<Access, 'makeLink' | 'accounts' | 'invite' | 'linkFor' | 'changeAccount'>
  publicUrl: string | null
  out(line: string): void
  complain(line: string): void
}

/**
 * What was asked, or why it can't be: said before a database is opened. `begins`: it makes the database where there
 * is none yet, so that the first administrator can come before the first start.
 */
export type PeopleWords = { run(hands: PeopleHands): Promise<number>; begins?: true } | { lines: string[] }

const code = invite.shape.post.unwrap()

/** The words after `sunup`; null: they are about something else. */
export function peopleWords(words: readonly string[]): PeopleWords | null {
  const [first, second, third, ...rest] = words
  if (first === 'link' && second !== undefined) return linkWords(second, words.slice(2))
  if (first !== 'people') return null
  if (second === undefined) return { run: list }
  if (second === 'add' && third !== undefined) return addWords(third, rest)
  if (second === 'password' && third !== undefined && rest.length === 0)
    return { run: hands => withAccount(hands, third, account => freshPassword(hands, account)) }
  if ((second === 'off' || second === 'on') && third !== undefined && rest.length === 0)
    return { run: hands => withAccount(hands, third, account => switchTo(hands, account, second === 'off')) }
  return { lines: PEOPLE_USAGE.split('\n') }
}

function linkWords(name: string, rest: readonly string[]): PeopleWords {
  const flags = flagsOf(rest, ['role', 'post'])
  if (flags === null || !isRole(flags.role) || !isPost(flags.post))
    return {
      lines: [
        `sunup link NAME --role ROLE [--post CODE]: the role is one of ${roles.join(', ')}; a name of two words goes in quotes; a post is the code of a rover or of a receiving place.`,
      ],
    }
  const { role, post } = flags
  return {
    async run({ access, publicUrl, out }) {
      // The same name and role is the same person, so that a second link doesn't make a second operator.
      const id = `person-${createHash('sha256').update(`${role}\n${name}`).digest('hex').slice(0, 12)}`
      const person = { id, name, role, post: post ?? null }
      const secret = await access.makeLink(person, LINK_VALID_MS['sign-in'], BY_COMMAND)
      out(`${publicUrl ?? ''}/enter?key=${secret}`)
      return 0
    },
  }
}

function addWords(name: string, rest: readonly string[]): PeopleWords {
  const flags = flagsOf(rest, ['email', 'role', 'post'])
  const parsed = flags && readAs(invite, { name, ...flags })
  if (!parsed?.success) {
    const why = parsed ? z.prettifyError(parsed.error).split('\n') : []
    return {
      lines: [
        `sunup people add NAME --email E --role ROLE [--post CODE]: the role is one of ${roles.join(', ')}; a name of two words goes in quotes.`,
        ...why,
      ],
    }
  }
  return {
    begins: true,
    async run(hands) {
      const made = await hands.access.invite(parsed.data, BY_COMMAND)
      if (!made.ok) {
        for (const { message } of made.problems) hands.complain(message)
        return 1
      }
      showLink(hands, made.link, `${name} sets a password by this link`)
      return 0
    },
  }
}

async function list({ access, out }: PeopleHands): Promise<number> {
  for (const { name, email, role, post, is } of await access.accounts())
    out([role, is, name, email ?? 'by links only', ...(post === null ? [] : [`post ${post}`])].join('  '))
  return 0
}

async function withAccount(
  hands: PeopleHands,
  typed: string,
  use: (account: Account) => Promise<number>,
): Promise<number> {
  const email = typed.trim().toLowerCase()
  const account = (await hands.access.accounts()).find(one => one.email === email)
  if (account) return use(account)
  hands.complain(`There is no account with the e-mail ${typed}: sunup people lists them.`)
  return 1
}

async function freshPassword(hands: PeopleHands, { id, name }: Account): Promise<number> {
  const link = await hands.access.linkFor(id, 'password', BY_COMMAND)
  if (link === null) {
    hands.complain(`${name} is switched off: sunup people on E first.`)
    return 1
  }
  showLink(hands, link, `${name} sets a new password by this link`)
  return 0
}

async function switchTo(
  { access, out, complain }: PeopleHands,
  account: Account,
  off: boolean,
): Promise<number> {
  const outcome = await access.changeAccount(account.id, { off }, BY_COMMAND)
  if (outcome === null || outcome.ok) {
    out(`${account.name} is switched ${off ? 'off: their sessions have ended' : 'on'}`)
    return 0
  }
  for (const { message } of outcome.problems) complain(message)
  return 1
}

/** The link alone on stdout; how long it is good goes beside it. */
function showLink({ publicUrl, out, complain }: PeopleHands, link: MadeLink, what: string): void {
  complain(`${what}, once, until ${toRfc3339(link.until)}:`)
  out(`${publicUrl ?? ''}/enter?key=${link.secret}`)
}

/** `--name value` or `--name=value`, each once; null: something else was said. */
function flagsOf(
  words: readonly string[],
  known: readonly string[],
): Record<string, string | undefined> | null {
  const flags: Record<string, string> = {}
  for (let i = 0; i < words.length; i++) {
    const [, name = '', inline] = /^--([a-z]+)(?:=(.*))?$/.exec(words[i]!) ?? []
    const value = inline ?? words[++i]
    if (!known.includes(name) || value === undefined || Object.hasOwn(flags, name)) return null
    flags[name] = value
  }
  return flags
}

function isRole(word: string | undefined): word is Role {
  return (roles as readonly (string | undefined)[]).includes(word)
}

function isPost(word: string | undefined): boolean {
  return word === undefined || code.safeParse(word).success
}
