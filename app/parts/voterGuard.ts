/**
 * Voters are never named in what is sent to the office. This only warns: a worker may still send the words,
 * since "Main Street entrance blocked" is no voter's address. It can't know; it looks for four shapes.
 */
export type Looks = 'phone' | 'email' | 'address' | 'name'

/** Seven digits must be set apart (a seal's number is often that long); ten count as a telephone's even unbroken. */
const PHONE =
  /(?<!\d)(?:\+?1[\s.-]?)?(?:(?:\(\d{3}\)\s?|\d{3}[\s.-])?\d{3}[\s.-]\d{4}|\(?\d{3}\)?[\s.-]?\d{3}[\s.-]?\d{4})(?!\d)/
const EMAIL = /[\w.+-]+@[\w-]+\.\w/
const STREET =
  /\b\d{1,5}[a-z]?\s+(?:[\p{L}'.·]+\s+){1,3}(?:street|st|road|rd|avenue|ave|lane|ln|drive|dr|court|ct|way|place|pl|boulevard|blvd|circle|terrace)\b/iu
const TITLE = /\b(?:mr|mrs|ms|miss|dr)\.?\s+\p{Lu}\p{Ll}+/iu
/** "voter Ann Miller", "named Ann Miller": a capital name right after a word that says it is a person. */
const PERSON =
  /\b(?:voters?|named|name is|called|lady|man|woman|gentleman)\s+\p{Lu}\p{Ll}+(?:\s+\p{Lu}\p{Ll}+)?/u
/** Two capital words in a row, but not "Main Street" or "Election Day". */
const TWO_CAPITALS =
  /\b\p{Lu}\p{Ll}+\s+(?:\p{Lu}\.\s+)?(?!(?:Street|Road|Avenue|Lane|Hall|School|Church|Library|Center|County|Police|Department|Office|Company|Island|Day|Station|Room)\b)\p{Lu}\p{Ll}{2,}/u

const wholeWord = (name: string) =>
  new RegExp(`(?<![\\p{L}\\d])${name.replace(/[\\^$.*+?()[\]{}|/]/g, '\\$&')}(?![\\p{L}\\d])`, 'gu')

/** What the words look like, or null. `known`: names that are no person's (the place, the county, equipment). */
export function looksLikeVoter(words: string, known: readonly string[] = []): Looks | null {
  // Whole words only, the longest first: a place named Mill doesn't hide Mrs. Miller.
  const text = known
    .filter(Boolean)
    .sort((a, b) => b.length - a.length)
    .reduce((t, k) => t.replace(wholeWord(k), '·'), words)
  if (EMAIL.test(text)) return 'email'
  if (PHONE.test(text)) return 'phone'
  if (STREET.test(text)) return 'address'
  if (TITLE.test(text) || PERSON.test(text) || TWO_CAPITALS.test(text)) return 'name'
  return null
}
