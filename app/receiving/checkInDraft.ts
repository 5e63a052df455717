import { code } from '../../server/domain/log/fields.ts'
import { plainSeal } from '../../server/domain/returns/plainSeal.ts'
import type { CommandBody } from '../../server/protocol/command.ts'

/** What a clerk has typed of one return, kept while other returns are looked at. */
export type CheckInDraft = {
  carriers: string
  deliveredBy: string
  ticked: readonly string[]
  others: readonly string[]
  seals: readonly string[]
  station: string
  note: string
  /** What stands in the two fields that add to a list and is not added yet. */
  other: string
  seal: string
}

type Field = 'carriers' | 'deliveredBy' | 'items' | 'other' | 'seals' | 'station' | 'note'
export type DraftProblems = Partial<Record<Field, string>>

/** Items or seals of one return: the limit of the log's entry. */
const MOST = 40

export const emptyDraft = (station: string): CheckInDraft => ({
  carriers: '',
  deliveredBy: '',
  ticked: [],
  others: [],
  seals: [],
  station,
  note: '',
  other: '',
  seal: '',
})

type Added<T> = { ok: true; draft: T } | { ok: false; problem: string }

/** Adds the typed seal. Spaces and case don't make another seal. An empty field adds nothing and is no mistake. */
export function addSeal(draft: CheckInDraft, typed = draft.seal): Added<CheckInDraft> {
  const number = typed.trim()
  if (number === '') return { ok: true, draft: { ...draft, seal: '' } }
  if (number.length > 40) return { ok: false, problem: 'A seal’s number has at most 40 characters.' }
  const at = draft.seals.findIndex(seal => plainSeal(seal) === plainSeal(number))
  if (at >= 0)
    return { ok: false, problem: `${number} is in the list already, as number ${at + 1}. Each seal once.` }
  if (draft.seals.length >= MOST)
    return { ok: false, problem: `At most ${MOST} seals; this would be ${MOST + 1}.` }
  return { ok: true, draft: { ...draft, seals: [...draft.seals, number], seal: '' } }
}

/**
 * Adds an item that isn't on the checklist, or ticks the one that is meant. Spaces become dashes, as items are named.
 */
export function addOther(draft: CheckInDraft, offered: readonly string[]): Added<CheckInDraft> {
  const typed = draft.other.trim()
  if (typed === '') return { ok: true, draft: { ...draft, other: '' } }
  const named = typed.replace(/\s+/g, '-')
  if (!code.safeParse(named).success)
    return {
      ok: false,
      problem:
        named.length > 40
          ? 'An item’s name has at most 40 characters.'
          : 'Begin with a letter or digit; letters, digits, dots and dashes only. Say more in the note.',
    }
  const same = (item: string) => item.toLowerCase() === named.toLowerCase()
  if ([...draft.ticked, ...draft.others].some(same))
    return { ok: false, problem: `${typed} is in the list already.` }
  const meant = offered.find(same)
  if (itemsOf(draft).length >= MOST)
    return { ok: false, problem: `At most ${MOST} items; this would be ${MOST + 1}.` }
  if (meant) return { ok: true, draft: { ...draft, ticked: [...draft.ticked, meant], other: '' } }
  return { ok: true, draft: { ...draft, others: [...draft.others, named], other: '' } }
}

export function itemsOf(draft: CheckInDraft): string[] {
  return [...draft.ticked, ...draft.others]
}

export type ReadDraft =
  | { ok: true; draft: CheckInDraft; body: Omit<CommandBody<'CheckInReturn'>, 'precinct' | 'replaces'> }
  | { ok: false; draft: CheckInDraft; problems: DraftProblems }

/** The draft as it would be sent, with what still stands in the two fields added; or what is wrong, by field. */
export function readDraft(before: CheckInDraft, offered: readonly string[]): ReadDraft {
  const problems: DraftProblems = {}
  let draft = before
  const sealed = addSeal(draft)
  if (sealed.ok) draft = sealed.draft
  else problems.seals = sealed.problem
  const named = addOther(draft, offered)
  if (named.ok) draft = named.draft
  else problems.other = named.problem
  const carriers = Number(draft.carriers)
  if (!/^[1-6]$/.test(draft.carriers.trim()))
    problems.carriers = 'How many people brought it? A whole number from 1 to 6.'
  const items = itemsOf(draft)
  if (items.length > MOST) problems.items = `At most ${MOST} items; these are ${items.length}.`
  if (items.length === 0 && draft.seals.length === 0 && !problems.seals && !problems.other)
    problems.items = 'Nothing is ticked and no seal is typed. Tick or type what came.'
  const deliveredBy = draft.deliveredBy.trim()
  const note = draft.note.trim()
  if (deliveredBy.length > 1_000) problems.deliveredBy = 'At most 1,000 characters.'
  if (note.length > 1_000) problems.note = 'At most 1,000 characters.'
  if (Object.keys(problems).length > 0) return { ok: false, draft, problems }
  return {
    ok: true,
    draft,
    body: {
      items,
      seals: [...draft.seals],
      carriers,
      ...(deliveredBy ? { deliveredBy } : {}),
      ...(draft.station ? { station: draft.station } : {}),
      ...(note ? { note } : {}),
    },
  }
}

/** The server's problems by our fields: `body.seals.3` belongs to the seals. */
export function problemsFromServer(
  problems: ReadonlyArray<{ path: string; message: string }>,
): DraftProblems {
  const found: DraftProblems = {}
  for (const { path, message } of problems) {
    const field = path.replace(/^body\./, '').split('.')[0]
    const known = field === 'precinct' || field === 'replaces' ? 'items' : (field as Field)
    found[known] ??= message
  }
  return found
}
