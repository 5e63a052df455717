import type { SayOutcome } from '../../live/outbox.ts'
import { problemWords } from '../problemWords.ts'
import type { Words } from '../words/catalogue.ts'

/** Why a report was not saved, in words. */
export function notSaved(outcome: SayOutcome & { ok: false }, words: Words): string {
  const { failed: W } = words.asking
  if (outcome.why === 'full') return W.full(outcome.limit)
  if (outcome.why === 'storage') return W.storage(outcome.message)
  return outcome.problems.map(p => problemWords(p, words)).join(' ') || W.invalid
}
