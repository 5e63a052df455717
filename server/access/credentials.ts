import { AsyncLocalStorage } from 'node:async_hooks'
import { isAPIError } from 'better-auth/api'
import { hashPassword } from 'better-auth/crypto'
import { type BetterAuthOptions, betterAuth } from 'better-auth/minimal'
import { PASSWORD_LENGTH } from './passwordRules.ts'
import { makeSecret } from './secrets.ts'

/**
 * E-mail and password, by better-auth over our tables. It is used inside the server only: its HTTP handler is not
 * mounted, so the doors are ours and few. Passwords are kept as its scrypt (node's own, off the main thread; N 2^14,
 * r 16, p 1: 32 MiB and about a quarter of a second a try) rather than Argon2, which would be one more native package to install;
 * both are memory-hard, as NIST SP 800-63B asks.
 */
export type Credentials = {
  /**
   * Looks the password up and begins a session of that hash. null: no such e-mail, no password yet, switched off, or
   * a wrong password; each takes the time of one scrypt, so an answer doesn't tell which.
   */
  signIn(email: string, password: string, session: FreshSession): Promise<string | null>
  /** Salt and scrypt of a password, as it is stored. The caller has checked the rules. */
  hash(password: string): Promise<string>
}

/** The secret of a session stays with its cookie: tables and library see its hash. Instants in milliseconds. */
export type FreshSession = { hash: string; begunAt: number; expiresAt: number }

/** What better-auth keeps its rows in: `person`, `credential` and `session` under its own names for the columns. */
export type IdentityTables = NonNullable<BetterAuthOptions['database']>

export function makeCredentials(database: IdentityTables): Credentials {
  const beginning = new AsyncLocalStorage<FreshSession>()
  const auth = betterAuth({
    database,
    // It would sign cookies of the library's own; none is ever sent, so it needn't outlive the process.
    secret: makeSecret(),
    baseURL: 'http://127.0.0.1',
    logger: { disabled: true },
    telemetry: { enabled: false },
    // We keep the part of its tables that signing in by e-mail needs, and no tokens of other services.
    advanced: { database: { validateSchema: false } },
    emailAndPassword: {
      enabled: true,
      disableSignUp: true,
      minPasswordLength: PASSWORD_LENGTH.least,
      maxPasswordLength: PASSWORD_LENGTH.most,
    },
    user: {
      modelName: 'person',
      additionalFields: { offAt: { type: 'number', required: false, input: false } },
    },
    account: { modelName: 'credential' },
    session: { modelName: 'session' },
    databaseHooks: {
      session: {
        create: {
          before: async (session, context) => {
            const fresh = beginning.getStore()
            const person = await context?.context.internalAdapter.findUserById(session.userId)
            if (!fresh || !person || (person as { offAt?: number | null }).offAt != null) return false
            const { hash, begunAt, expiresAt } = fresh
            const begun = new Date(begunAt)
            return {
              data: {
                ...session,
                token: hash,
                expiresAt: new Date(expiresAt),
                createdAt: begun,
                updatedAt: begun,
              },
            }
          },
        },
      },
    },
  })

  return {
    async signIn(email, password, session) {
      try {
        const signedIn = await beginning.run(session, () =>
          auth.api.signInEmail({ body: { email, password } }),
        )
        return signedIn.user.id
      } catch (error) {
        if (isAPIError(error) && error.statusCode < 500) return null
        throw error
      }
    },
    hash: hashPassword,
  }
}
