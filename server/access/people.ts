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

  async function linkFor(person: string, purpose: LinkPurpose): Promise<MadeLink | null> {
    const secret = makeSecret()
    const until = now() + LINK_VALID_MS[purpose]
    const made = await store.addLink({ hash: hashSecret(secret), person, expiresAt: until, purpose }, now())
    return made ? { person, secret, until } : null
  }

  return {
    accounts: () => store.accounts(now()),
    linkFor,

    async invite({ name, email, role, post = null }) {
      const id = makeId('person')
      const account = { id, name, role, post, email: email.trim().toLowerCase() }
      if (!(await store.addAccount(account, now())))
        return {
          ok: false,
          problems: [{ path: 'email', message: 'Somebody has an account with this e-mail already.' }],
        }
      const link = await linkFor(id, 'password')
      // Only where somebody switched the account off in the same moment.
      if (link === null)
        return { ok: false, problems: [{ path: '', message: 'The account was switched off.' }] }
      return { ok: true, link }
    },

    async changeAccount(id, change) {
      const outcome = await store.changeAccount(id, change, now())
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

    async makeProgramToken(label, role) {
      const program = makeId('program')
      const id = makeId('token')
      const token = makeSecret()
      await store.addProgram({ id: program, name: label, role }, now())
      await store.addToken({ id, hash: hashSecret(token), person: program, label, madeAt: now() })
      return { id, token }
    },

    async endToken(id) {
      const ending = await store.endToken(id, now())
      if (ending) ended(ending)
      return ending !== null
    },
  }
}
