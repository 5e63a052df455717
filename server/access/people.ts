import type { LinkPurpose, MadeLink, PeopleAdmin } from './access.ts'
import { hashSecret, makeId, makeSecret } from './secrets.ts'
import type { AccessStore, Ending } from './store.ts'

/** How long a link is good, by what it is for: an invitation waits for somebody to come to the office. */
export const LINK_VALID_MS: Record<LinkPurpose, number> = {
  'sign-in': 24 * 60 * 60_000,
  password: 7 * 24 * 60 * 60_000,
}

/** What administrators do: accounts, links, tokens of programs. Who may call it is checked by the routes. */
export function makePeople(deps: {
  store: AccessStore
  now: () => number
  ended: (ending: Ending) => void
}): PeopleAdmin {
  const { store, now, ended } = deps

  function freshLink(purpose: LinkPurpose) {
    const secret = makeSecret()
    return { secret, hash: hashSecret(secret), until: now() + LINK_VALID_MS[purpose] }
  }

  return {
    accounts: () => store.accounts(now()),

    async linkFor(person, purpose, by): Promise<MadeLink | null> {
      const { secret, hash, until } = freshLink(purpose)
      const made = await store.addLink({ hash, person, expiresAt: until, purpose }, now(), by)
      return made ? { person, secret, until } : null
    },

    async invite({ name, email, role, post = null }, by) {
      const id = makeId('person')
      const account = { id, name, role, post, email: email.trim().toLowerCase() }
      const { secret, hash, until } = freshLink('password')
      if (!(await store.addAccount(account, { hash, expiresAt: until }, now(), by)))
        return {
          ok: false,
          problems: [{ path: 'email', message: 'Somebody has an account with this e-mail already.' }],
        }
      return { ok: true, link: { person: id, secret, until } }
    },

    async changeAccount(id, change, by) {
      const outcome = await store.changeAccount(id, change, now(), by)
      if (outcome === 'unknown') return null
      if (outcome === 'last-admin') {
        const path = change.off ? 'off' : 'role'
        const message = 'This is the last administrator who can sign in: make somebody else one first.'
        return { ok: false, problems: [{ path, message }] }
      }
      if (outcome.ending) ended(outcome.ending)
      return { ok: true }
    },

    tokens: () => store.tokens(),

    async makeProgramToken(label, role, by) {
      const program = makeId('program')
      const id = makeId('token')
      const token = makeSecret()
      const made = { id, hash: hashSecret(token), label, madeAt: now() }
      await store.addProgram({ id: program, name: label, role }, made, by)
      return { id, token }
    },

    async endToken(id, by) {
      const ending = await store.endToken(id, now(), by)
      if (ending) ended(ending)
      return ending !== null
    },

    changes: page => store.changes(page),
  }
}
