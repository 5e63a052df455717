import { createHash, randomBytes, randomInt } from 'node:crypto'

/**
 * Secrets that people and devices carry. Only hashes are stored.
 *
 * SHA-256 and no slow hash: keys, links, sessions and tokens are 256 random bits, so there is nothing to guess
 * that a slow hash would protect; and a device's key is checked on every connection. An enrolment code has 49
 * bits (30^10), is used once and dies with the day; guessing it over the wire is bounded by rates, and who can
 * read the table of hashes can read the log itself.
 */

/** 32 random bytes in base64url (43 characters). */
export function makeSecret(): string {
  return randomBytes(32).toString('base64url')
}

/** SHA-256 of a secret's text, in hex. */
export function hashSecret(secret: string): string {
  return createHash('sha256').update(secret, 'utf8').digest('hex')
}

/** No I, L, O, U, 0 or 1: they are misread on paper and misheard on the telephone. */
const CODE_ALPHABET = 'ABCDEFGHJKMNPQRSTVWXYZ23456789'
const CODE_LENGTH = 10

/** An enrolment code as it is shown: `ABCDE-FGHJK`. Uniform over 30^10. */
export function makeCode(): string {
  let code = ''
  for (let i = 0; i < CODE_LENGTH; i++) code += CODE_ALPHABET[randomInt(CODE_ALPHABET.length)]
  return `${code.slice(0, 5)}-${code.slice(5)}`
}

/** The code that was meant: capitals, without spaces and dashes. Null where it can't be one of ours. */
export function normaliseCode(typed: string): string | null {
  if (typed.length > 40) return null
  const code = typed.replace(/[\s\p{Pd}]/gu, '').toUpperCase()
  if (code.length !== CODE_LENGTH) return null
  for (const character of code) if (!CODE_ALPHABET.includes(character)) return null
  return code
}

/** A short random name for a record (device, person): 80 bits in base64url. */
export function makeId(prefix: string): string {
  return `${prefix}-${randomBytes(10).toString('base64url')}`
}
