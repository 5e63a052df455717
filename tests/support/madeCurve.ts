import { HOUR, MINUTE } from '../../server/domain/time.ts'
import type { Chance } from './chance.ts'

/** Arrival curves of made-up days. Polls from 7:00 to 20:00; every instant counts from midnight. */

export const OPENS = 7 * HOUR
export const CLOSES = 20 * HOUR
const QUARTERS = 120
const QUARTER = 15 * MINUTE

/** Shapes over the voting hours, not normed. */
const bump = (h: number, at: number, wide: number) => Math.exp(-(((h - at) / wide) ** 2) / 2)
const shapes = {
  plan: (h: number) => 1 + 0.9 * bump(h, 7.8, 0.9) + 0.35 * bump(h, 12.2, 0.9) + 0.8 * bump(h, 17.5, 1.2),
  early: (h: number) => 0.5 + 2.2 * Math.exp(-(h - 7) / 2.5),
  lunch: (h: number) => 0.8 + 1.6 * bump(h, 12.4, 1.1),
  evening: (h: number) => 0.6 + 2 * bump(h, 18, 1.5),
  flat: () => 1,
}
const strange = [shapes.early, shapes.lunch, shapes.evening, shapes.flat]

/** 120 shares that sum to 1. */
function normed(shape: (hour: number) => number): number[] {
  const shares = Array.from({ length: QUARTERS }, (_, q) => {
    const at = q * QUARTER
    return at >= OPENS && at < CLOSES ? shape((at + QUARTER / 2) / HOUR) : 0
  })
  return byItsSum(shares)
}

function byItsSum(shares: readonly number[]): number[] {
  const sum = shares.reduce((a, b) => a + b, 0)
  return shares.map(w => w / sum)
}

export const PLANNED = normed(shapes.plan)
const STRANGE = strange.map(normed)

/** A profile mixed with one that nobody planned. */
export function bent(profile: readonly number[], chance: Chance, most: number): number[] {
  const other = chance.oneOf(STRANGE)
  const part = chance.between(0, most)
  return profile.map((w, q) => (1 - part) * w + part * other[q]!)
}

/** Each hour of a profile more or less by itself. */
export function ruffled(profile: readonly number[], chance: Chance, cv: number): number[] {
  const hours = Array.from({ length: QUARTERS / 4 }, () => chance.gamma(cv))
  return byItsSum(profile.map((w, q) => w * hours[Math.floor(q / 4)]!))
}
