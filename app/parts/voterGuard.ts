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
/** The same word in capital, small or mixed letters, where the rest of a pattern tells them apart. */
const anyCase = (words: string) => words.replace(/\p{L}/gu, c => `[${c.toLowerCase()}${c.toUpperCase()}]`)
/** "Miller", "MILLER", "O’Brien", "García-López". */
const NAME = String.raw`\p{Lu}[\p{L}'’-]+`
/** What may stand between the parts of a name: "de la Cruz", "van Dyke". */
const PARTICLE = String.raw`(?:(?:del?|de\s+las?|de\s+los|la|van|von|y)\s+)?`
const word = (words: string, after: string) => new RegExp(String.raw`(?<!\p{L})(?:${words})${after}`, 'u')

const SMALL_TITLE = /(?<!\p{L})(?:mr|mrs)\.?\s+\p{L}{2,}/iu
const TITLE = word(
  anyCase('mr|mrs|ms|miss|dr|dra|sr|sra|srta|señor|señora|señorita|senora|senorita|don|doña'),
  String.raw`\.?\s+${PARTICLE}${NAME}`,
)
/** "voter Ann Miller", "named Ann Miller": a capital name right after a word that says it is a person. */
const PERSON = word(
  anyCase(
    'voters?|named|name is|called|lady|man|woman|gentleman|votantes?|llamado|llamada|se llama|hombre|mujer',
  ),
  String.raw`\s+${PARTICLE}${NAME}`,
)
/** Given names that are common in the United States, by which one typed in small letters or all capitals is known. */
const GIVEN =
  'james|john|robert|michael|william|david|richard|joseph|thomas|charles|daniel|matthew|anthony|paul|steven|george|kevin|brian|mary|patricia|jennifer|linda|elizabeth|barbara|susan|jessica|sarah|karen|nancy|lisa|margaret|sandra|ashley|emily|donna|michelle|carol|ann|anna|anne|maria|maría|jose|josé|juan|luis|carlos|jorge|pedro|miguel|jesús|ana|carmen|rosa|guadalupe|lucía|elena|sofía'
/** "voter ann", "ANN MILLER". */
const SMALL_NAME = new RegExp(
  String.raw`(?<!\p{L})(?:voter|votante|named|llamad[oa])\s+(?:${GIVEN})(?!\p{L})`,
  'iu',
)
const CAPITALS = word(
  GIVEN.toUpperCase(),
  String.raw`\s+(?:(?:DEL?|DE\s+LAS?|DE\s+LOS|LA)\s+)?\p{Lu}{2,}(?!\p{L})`,
)
/** Two capital words in a row, but not "Main Street" or "Election Day". */
const TWO_CAPITALS =
  /(?<!\p{L})\p{Lu}\p{Ll}+\s+(?:\p{Lu}\.\s+|(?:del?|de\s+las?|de\s+los)\s+)?(?!(?:Street|Road|Avenue|Lane|Hall|School|Church|Library|Center|County|Police|Department|Office|Company|Island|Day|Station|Room)(?!\p{L}))\p{Lu}\p{Ll}{2,}/u
/** Things of our trade, which some write with capitals: "Ballot Box", "Urna de Boletas". */
const OF_TRADE = word(
  anyCase(
    'ballots?|box|emergency|slots?|tabulators?|tapes?|opening|closing|seals?|precinct|polls?|pollbooks?|public|counts?|memory|device|booths?|tables?|signs?|accessible|station|curbside|provisional|spoiled|elections?|office|urnas?|boletas?|ranura|emergencia|sellos?|cintas?|apertura|cierre|tabulador|votación|precinto|contador|público|mesa|oficina',
  ),
  String.raw`(?!\p{L})`,
)
const NAMES = [SMALL_TITLE, TITLE, PERSON, SMALL_NAME, CAPITALS, TWO_CAPITALS]
const EACH_OF_TRADE = new RegExp(OF_TRADE.source, 'gu')

/** Without the addresses: where a place belongs, and no person. */
export function withoutStreets(words: string): string {
  return words.replace(new RegExp(STREET, 'giu'), '·')
}

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
  const named = text.replace(EACH_OF_TRADE, '·')
  return NAMES.some(shape => shape.test(named)) ? 'name' : null
}
