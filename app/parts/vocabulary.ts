import type { z } from 'zod'
import type { incidentCategory, problemOfTape } from '../../server/domain/log/fields.ts'
import type { outcome } from '../../server/domain/log/kindsOfDesk.ts'
import type { Tier } from '../../server/domain/plan/policy.ts'

/** The words of closed lists, as people read them. */

export const CATEGORIES: Record<z.output<typeof incidentCategory>, string> = {
  'place-not-open': 'place not open',
  equipment: 'equipment',
  supplies: 'supplies',
  'long-line': 'long line',
  workers: 'workers',
  power: 'power',
  communications: 'communications',
  weather: 'weather',
  security: 'security',
  medical: 'medical',
  access: 'access',
  conduct: 'conduct',
  custody: 'custody',
  other: 'other',
}

export const TAPE_PROBLEMS: Record<z.output<typeof problemOfTape>, string> = {
  'precinct-name': 'wrong precinct name',
  'not-zero': 'not all zeros',
  'public-count': 'public count not zero',
  'ballot-order': 'order differs from the ballot',
  'seal-number': 'seal number differs',
  signatures: 'signatures missing',
  'not-printed': 'did not print',
  other: 'something else',
}

export type Outcome = z.output<typeof outcome>
export const OUTCOMES: Record<Outcome, string> = {
  solved: 'solved, on their word',
  watching: 'watching',
  'no-answer': 'no answer',
  'needs-rover': 'needs a rover',
  'needs-supervisor': 'needs a supervisor',
}

export const TIERS: Record<Tier, string> = { stop: 'stop', now: 'now', soon: 'soon', watch: 'watch' }

const from = (words: Record<string, string>) => (key: string) => words[key] ?? key.replaceAll('-', ' ')
export const categoryWords = from(CATEGORIES)
export const problemWords = from(TAPE_PROBLEMS)
export const outcomeWords = from(OUTCOMES)

/** What the figure beside a call means. */
export const VOTER_MINUTES =
  'expected extra minutes of waiting, added up over voters, within the next hour if nothing is done'
