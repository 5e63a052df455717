import type { ReactNode } from 'react'
import type { Answer, Choice } from './question.ts'

export type Asked<Q> = {
  question: Q
  /** What went wrong with the answer given, from the report's check or the outbox. */
  error: string | null
  busy: boolean
  onAnswer(answer: Answer): void
  onChoice(choice: Choice): void
  /** Whether two people are asked to confirm that they are of different parties (policy). */
  twoParties: boolean
  /** Names that belong to no person: the place, the county. */
  known: readonly string[]
}

/** What is wrong, in words, beside what it is about; heard at once by a screen reader. */
export function ProblemLine({ id, children }: { id: string; children: ReactNode }) {
  return (
    <p className="pp-error" id={id} role="alert">
      {children}
    </p>
  )
}
