import type { z } from 'zod'
import type { PrecinctKind } from '../../../server/domain/log/kinds.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import type { PageState } from '../pageState.ts'

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
  phone?: boolean
  to?: Array<{ label: string; screen: string }>
}

type Base = {
  id: string
  ask: string
  help?: string
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
}

export type NumberQuestion = Base & {
  kind: 'number'
  last?: string
  /** Label of the button that leaves it out. */
  skip?: string
  schema: z.ZodType<number>
}
export type TextQuestion = Base & {
  kind: 'text'
  long?: boolean
  skip?: string
  guard?: boolean
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
/** Two people confirm, each for themselves; the answer is 'two' or 'one'. */
type TwoQuestion = Base & { kind: 'two' }

export type Question = NumberQuestion | TextQuestion | OneQuestion | ManyQuestion | TwoQuestion

export function asNumber(answer: Answer | undefined): number | undefined {
  return typeof answer === 'number' ? answer : undefined
}
export function asText(answer: Answer | undefined): string | undefined {
  return typeof answer === 'string' && answer.trim() !== '' ? answer.trim() : undefined
}
export function asList(answer: Answer | undefined): readonly string[] {
  return Array.isArray(answer) ? answer : []
}
/** Fields without those that are left out. */
export function only(body: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(body).filter(([, value]) => value !== undefined))
}
