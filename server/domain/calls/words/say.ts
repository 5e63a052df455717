import type { Reason } from '../../day/state.ts'
import { chanceWords } from '../../forecast/say.ts'
import type { PlanBrief } from '../../plan/brief.ts'
import { hhmmOf } from '../../plan/zone.ts'
import type { Instant } from '../../time.ts'
import { MINUTE } from '../../time.ts'

/** The words of one reason, for a card, a sheet, a program. */
export type Words = {
  /** At most three words. */
  headline: string
  /** One or two sentences, with times of the county's clock. */
  fact: string
  /** What to ask on the telephone. */
  ask: string
  /** What ends it. */
  ends: string
  /** What its voter-minutes are made of; '' where nothing is at risk. */
  risk: string
}

export type WordsOf = (say: Say) => Omit<Words, 'risk'>

/** A reason's evidence, ready to be said. Evidence is read by name; what isn't there is left unsaid. */
export type Say = ReturnType<typeof saying>

export function saying(reason: Reason, brief: PlanBrief, now?: Instant) {
  const { evidence } = reason
  const number = (name: string): number | null => {
    const value = evidence[name]
    return typeof value === 'number' ? value : null
  }
  const clock = (at: Instant) => hhmmOf(at, brief.timeZone)
  return {
    reason,
    clock,
    number,
    yes: (name: string) => evidence[name] === true,
    text: (name: string): string => {
      const value = evidence[name]
      return typeof value === 'string' ? value : ''
    },
    list: (name: string): readonly string[] => {
      const value = evidence[name]
      return Array.isArray(value) ? value : []
    },
    /** An instant of the evidence as HH:MM; a dash where it has none. */
    time: (name: string): string => {
      const at = number(name)
      return at === null ? '–' : clock(at)
    },
    /** "at 09:12" with how long ago that was, where now is told and it was some minutes. */
    ago: (at: Instant): string => {
      const minutes = now === undefined ? 0 : Math.floor((now - at) / MINUTE)
      return minutes < 1 ? clock(at) : `${clock(at)}, ${minutesWords(minutes)} ago`
    },
    /** What people call a piece of equipment, with its tag. */
    equipment: (tag: string): string => {
      const planned = brief.equipment[reason.precinct ?? '']?.find(e => e.tag === tag)
      return planned?.label ? `${planned.label} (${tag})` : tag
    },
    precinct: (code: string): string => brief.precincts.find(p => p.code === code)?.name ?? code,
    step: (code: string): string => brief.steps.find(s => s.code === code)?.title ?? code,
  }
}

export function minutesWords(minutes: number): string {
  if (minutes < 90) return minutes === 1 ? '1 minute' : `${minutes} minutes`
  const hours = Math.floor(minutes / 60)
  const rest = minutes % 60
  return rest === 0 ? `${hours} hours` : `${hours} h ${rest} min`
}

export function plural(count: number, one: string, many = `${one}s`): string {
  return `${grouped(count)} ${count === 1 ? one : many}`
}

/** A chance of the evidence, in whole percent, as forecasts say theirs; '–' where it has none. */
export function chanceIn(say: Say, name: string): string {
  const percent = say.number(name)
  return percent === null ? '–' : chanceWords(percent / 100)
}

/** A number with its thousands set apart: 12,400. */
export function grouped(count: number): string {
  return count.toLocaleString('en-US')
}

/** One line of several precincts, named; '' where it is the precinct's own. */
export function sharedBy(say: Say): string {
  const codes = say.list('sharedBy')
  return codes.length > 1 ? `, in the one line of ${listed(codes.map(say.precinct))}` : ''
}

/** "a, b and c". */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('')
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}
