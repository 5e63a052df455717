import * as asking from './en/asking.ts'
import * as cards from './en/cards.ts'
import * as closedLists from './en/closedLists.ts'
import * as closing from './en/closing.ts'
import * as day from './en/day.ts'
import * as evening from './en/evening.ts'
import * as guide from './en/guide.ts'
import * as home from './en/home.ts'
import * as office from './en/office.ts'
import * as opening from './en/opening.ts'
import * as remedies from './en/remedies.ts'
import * as reported from './en/reported.ts'
import * as roomCards from './en/roomCards.ts'
import * as several from './en/several.ts'
import * as troubles from './en/troubles.ts'
import * as voterCards from './en/voterCards.ts'
import * as esAsking from './es/asking.ts'
import * as esCards from './es/cards.ts'
import * as esClosedLists from './es/closedLists.ts'
import * as esClosing from './es/closing.ts'
import * as esDay from './es/day.ts'
import * as esEvening from './es/evening.ts'
import * as esGuide from './es/guide.ts'
import * as esHome from './es/home.ts'
import * as esOffice from './es/office.ts'
import * as esOpening from './es/opening.ts'
import * as esRemedies from './es/remedies.ts'
import * as esReported from './es/reported.ts'
import * as esRoomCards from './es/roomCards.ts'
import * as esSeveral from './es/several.ts'
import * as esTroubles from './es/troubles.ts'
import * as esVoterCards from './es/voterCards.ts'

const en = {
  ...asking,
  ...closedLists,
  ...closing,
  ...day,
  ...evening,
  ...guide,
  ...home,
  ...office,
  ...opening,
  ...remedies,
  ...reported,
  ...several,
  ...troubles,
  ...cards,
  ...roomCards,
  ...voterCards,
}

/** The same keys and arguments, whatever the sentence. */
type Widened<T> = T extends string
  ? string
  : T extends (...args: infer A) => string
    ? (...args: A) => string
    : { readonly [K in keyof T]: Widened<T[K]> }

/** Every sentence of the precinct page, by section. Times are county time, H:MM. */
export type Words = Widened<typeof en>
export type Language = 'en' | 'es'

const es: Words = {
  ...esAsking,
  ...esClosedLists,
  ...esClosing,
  ...esDay,
  ...esEvening,
  ...esGuide,
  ...esHome,
  ...esOffice,
  ...esOpening,
  ...esRemedies,
  ...esReported,
  ...esSeveral,
  ...esTroubles,
  ...esCards,
  ...esRoomCards,
  ...esVoterCards,
}

/** Sentences may hold `{lead}`, `{workers}` …: wordsOf fills them in. */
export const catalogue: Readonly<Record<Language, Words>> = { en, es }
