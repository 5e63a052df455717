import type { z } from 'zod'
import type { PrecinctKind } from '../../../server/domain/log/kinds.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import type { Shows } from '../guide/shows.ts'
import type { PageState } from '../pageState.ts'
import type { Words } from '../words/catalogue.ts'

/**
 * A conversation is a pure function: given the answers so far it asks the next question or has the reports to
 * say. So each can be tested without a screen, and going back is taking the last answer away.
 */
export type Flow = (answers: Answers, around: Around) => FlowStep

export type FlowStep = { ask: Question } | { say: ToSay[]; done: Done }

/** null: the question was left out. */
export type Answer = number | string | readonly string[] | null
export type Answers = Readonly<Record<string, Answer | undefined>>

export type Around = {
  plan: DevicePlan
  page: PageState
  words: Words
  /** Day time. */
  now: number
  /** County time of a day instant, H:MM. */
  time(at: number): string
  /** County time of a moment by this device's clock (RFC 3339). */
  timeOf(at: string): string
}

export type ToSay = { kind: PrecinctKind; body: Record<string, unknown> }

/** What is shown once it is saved. `stop`: something a worker must do now. */
export type Done = {
  title: string
  lines?: string[]
  stop?: boolean
  /** Numbers that are rung, the first first: where nobody is in the voting room yet. */
  ring?: ReadonlyArray<{ label: string; phone: string }>
  phone?: boolean
  /** What the office was told, in a few words: the status line says whether it has it. */
  told?: string
  to?: Array<{ label: string; screen: string }>
}

type Base = {
  id: string
  ask: string
  help?: string
  /** A drawing, and what is done and seen, above the answers. */
  shows?: Shows
  /** Fields of the report that this question fills: an error in one is shown beside it. */
  fills?: string
}

export type Choice = {
  value: string
  label: string
  note?: string
  /** Takes the answer before away and asks it again. */
  again?: true
  /** Leaves without saying anything. */
  leave?: true
  /** Leaves for another screen without saying anything. */
  go?: string
}

export type NumberQuestion = Base & {
  kind: 'number'
  last?: string
  /** Where −1, +1 and +10 begin; without it they aren't offered. */
  from?: number
  /** Label of the button that leaves it out. */
  skip?: string
  schema: z.ZodType<number>
}
export type TextQuestion = Base & {
  kind: 'text'
  long?: boolean
  skip?: string
  /**
   * Whether it warns of what may name a voter; `names-fit`: names of people belong here, nothing else of theirs;
   * `place`: an address belongs here, nobody's name.
   */
  guard?: boolean | 'names-fit' | 'place'
  /** What stands there already. */
  preset?: string
  /** Several may be typed, one a line: each line that isn't empty must fit the schema. */
  lines?: true
  schema: z.ZodType<string>
}
export type OneQuestion = Base & { kind: 'one'; choices: readonly Choice[] }
export type ManyQuestion = Base & {
  kind: 'many'
  choices: readonly Choice[]
  preset?: readonly string[]
  /** Label of the button when nothing is ticked; without it at least one must be. */
  none?: string
}
/** Two people confirm, each for themselves; the answer is a `TwoAnswer`. */
export type TwoQuestion = Base & { kind: 'two' }
/**
 * `one`: only one is here. `two`: both confirmed, parties aren't asked about here. `two-differ`, `two-unsaid`: both
 * confirmed, and did or did not confirm that they are of different parties.
 */
export type TwoAnswer = 'one' | 'two' | 'two-differ' | 'two-unsaid'

export type Question = NumberQuestion | TextQuestion | OneQuestion | ManyQuestion | TwoQuestion

export function asNumber(answer: Answer | undefined): number | undefined {
  return typeof answer === 'number' ? answer : undefined
}
export function asText(answer: Answer | undefined): string | undefined {
  return typeof answer === 'string' && answer.trim() !== '' ? answer.trim() : undefined
}
/** What a report takes of lines. */
export const MOST_LINES = 40
export function linesOf(text: string): string[] {
  return text
    .split('\n')
    .map(line => line.trim())
    .filter(Boolean)
}
/** The first line that doesn't fit; null: all do. */
export function wrongLine({ schema }: Pick<TextQuestion, 'schema'>, text: string): string | null {
  return linesOf(text).find(line => !schema.safeParse(line).success) ?? null
}
export function asList(answer: Answer | undefined): readonly string[] {
  return Array.isArray(answer) ? answer : []
}
/** What the answer to a question of kind 'two' says in a report. Which parties they are is asked nowhere. */
export function twoBody(answer: Answer | undefined): { byTwo: boolean; partiesDiffer?: boolean } {
  if (answer === 'two-differ') return { byTwo: true, partiesDiffer: true }
  if (answer === 'two-unsaid') return { byTwo: true, partiesDiffer: false }
  return { byTwo: answer === 'two' }
}
/** Fields without those that are left out. */
export function only(body: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(body).filter(([, value]) => value !== undefined))
}
