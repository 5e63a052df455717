import { describe, expect, it } from 'vitest'
import type { z } from 'zod'
import { initialDay } from '../../server/domain/day/initial.ts'
import type { BoardRow, CallLine } from '../../server/domain/day/row.ts'
import { rowOf } from '../../server/domain/day/rowOf.ts'
import type { Errand, Reason } from '../../server/domain/day/state.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import { boardRow, type callLine, type errand, type reason } from '../../server/protocol/picture.ts'
import { aPlan, DAY } from '../support/aPlan.ts'

/** The domain's lists are read-only; beside that, a schema and its type must say the same, or this doesn't compile. */
type Loose<T> = T extends readonly (infer I)[]
  ? T extends readonly [infer A, infer B]
    ? [Loose<A>, Loose<B>]
    : Loose<I>[]
  : T extends object
    ? { -readonly [K in keyof T]: Loose<T[K]> }
    : T
type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : never) : never

const same: [
  Same<z.output<typeof boardRow>, Loose<BoardRow>>,
  Same<z.output<typeof callLine>, Loose<CallLine>>,
  Same<z.output<typeof errand>, Loose<Errand>>,
  Same<z.output<typeof reason>, Loose<Reason>>,
] = [true, true, true, true]

describe('schemas of the picture', () => {
  it('say what the domain’s types say (kept by the compiler), and take a row of a fresh day', () => {
    expect(same).toHaveLength(4)
    const index = indexOf(aPlan(), DAY)
    for (const p of initialDay(DAY, index).precincts.values())
      expect(boardRow.safeParse(rowOf(p, index)).error?.issues).toBeUndefined()
  })

  it('refuse a row with a field too many or too few (they can fail)', () => {
    const index = indexOf(aPlan(), DAY)
    const row = rowOf(initialDay(DAY, index).precincts.values().next().value!, index)
    expect(boardRow.safeParse({ ...row, votes: 3 }).success).toBe(false)
    const { standing: _, ...less } = row
    expect(boardRow.safeParse(less).success).toBe(false)
  })
})
