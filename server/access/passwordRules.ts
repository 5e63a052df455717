import { commonPasswords } from './commonPasswords.ts'

/**
 * What a password must be, after NIST SP 800-63B revision 4 (2025), section 3.1.1.2, cited from memory: the text was
 * not at hand. A password that is the only factor has at least 15 characters, counted in Unicode code points; 64 or
 * more are taken; every printable character and the space; no rules of composition, no expiry, no hints, no
 * questions; the whole of it is verified. It is compared with common and expected ones as a whole, not by the words
 * that are in it: `correct bluebells over Ellery` is good though the county's name is there.
 */
export const PASSWORD_LENGTH = { least: 15, most: 200 } as const

/** What somebody who knows the person would try first. */
export type PasswordContext = { name: string; email: string | null; counties: readonly string[] }

const houseWords = [
  'sunup',
  'election',
  'elections',
  'county',
  'office',
  'board',
  'desk',
  'rover',
  'supervisor',
  'receiving',
  'precinct',
  'admin',
  'administrator',
  'password',
  'passphrase',
  'welcome',
  'secret',
  'login',
]
/** Fewer letters than this beside expected words are not worth a guess more. */
const OWN_LETTERS = 4

/** Why a password can't be taken, in words for its owner; null: it can. */
export function passwordProblem(password: string, context: PasswordContext): string | null {
  // As the hash sees it: the same password typed on another keyboard is the same code points.
  const text = password.normalize('NFKC')
  const length = [...text].length
  if (length < PASSWORD_LENGTH.least)
    return `Use at least ${PASSWORD_LENGTH.least} characters: this one has ${length}. A few words in a row are good; spaces count.`
  if (length > PASSWORD_LENGTH.most)
    return `Use at most ${PASSWORD_LENGTH.most} characters: this one has ${length}.`
  if (/\p{Cc}/u.test(text)) return 'Leave out line breaks and other characters that can’t be seen.'
  const folded = text.toLowerCase()
  const bare = folded.replace(/[^\p{L}\p{N}]/gu, '')
  if (isRepeated(folded) || isRepeated(bare))
    return 'This repeats itself: that is soon guessed. Use different words.'
  if (isSequence(bare))
    return 'This follows the alphabet or the keyboard: that is soon guessed. Use words of your own.'
  const letters = bare.replace(/\p{N}/gu, '')
  if (commonPasswords.has(folded) || commonPasswords.has(bare) || commonPasswords.has(letters))
    return 'This is a password that many people use: it is tried first. Use words of your own.'
  if (isExpected(folded, context))
    return 'This is little more than your name, your county or Sunup: that is tried first. Use words of your own.'
  return null
}

/** One piece, twice or more. */
function isRepeated(text: string): boolean {
  for (let piece = 1; piece * 2 <= text.length; piece++)
    if (text.startsWith(text.slice(piece)) && text.length > 0) return true
  return false
}

const rows = [
  'abcdefghijklmnopqrstuvwxyz',
  '01234567890',
  'qwertyuiop',
  'asdfghjkl',
  'zxcvbnm',
  '1qaz2wsx3edc4rfv5tgb6yhn7ujm',
]
const runs = rows.flatMap(row => [row + row, [...(row + row)].reverse().join('')])

/** Nothing but runs of three or more along the alphabet, the digits or a row of keys, in either direction. */
function isSequence(text: string): boolean {
  let at = 0
  while (at < text.length) {
    let end = text.length
    while (end - at >= 3 && !runs.some(run => run.includes(text.slice(at, end)))) end--
    if (end - at < 3) return false
    at = end
  }
  return text.length > 0
}

/** Expected words, digits and signs, and hardly anything else. */
function isExpected(folded: string, { name, email, counties }: PasswordContext): boolean {
  const words = [...houseWords, ...[name, email ?? '', ...counties].flatMap(wordsOf)]
  let rest = folded.replace(/[^\p{L}]/gu, '')
  const all = rest.length
  for (const word of words.sort((a, b) => b.length - a.length)) rest = rest.replaceAll(word, '')
  return rest.length < all && rest.length < OWN_LETTERS
}

function wordsOf(text: string): string[] {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .split(/[^\p{L}]+/u)
    .filter(word => word.length >= 3)
}
