import { LIMITS, type Problem, type ReportAnswer, type ReportEnvelope } from '../../protocol/device.ts'

/**
 * What a device sends next, and what an answer means: the whole of the rules, without a link, a store or a clock.
 * A device keeps what it said as a list of numbered reports; what it still has to send is all above the lower of
 * `office` and `done`.
 */
export type Progress = {
  /** The office has everything up to this number, by its own last word; null: it is to be asked. */
  office: number | null
  /**
   * The highest number that stood in a request which the office dealt with. What lies above it is sent even where
   * the office says that it has that number: another device may have used it (a copied file), and then the office's
   * refusal is to be seen. A device whose list is drawn anew each time (the simulator's) has no such memory and
   * goes by the office's word alone: `Number.MAX_SAFE_INTEGER`.
   */
  done: number
}

export type Step =
  /** With an empty list, which changes nothing at the office. */
  | { is: 'ask' }
  | { is: 'send'; reports: ReportEnvelope[] }
  /** The office asks for a number that is not held here any more: nothing is passed over, so nothing is sent. */
  | { is: 'stuck'; wanted: number; holds: number }
  | { is: 'rest' }

/** Why the next request has to wait. */
export type Wait =
  /** The office said how long, in ms. */
  | { is: 'told'; ms: number }
  /** No answer, or one that brought nothing: longer each time. */
  | { is: 'backOff' }
  /** The request was turned away (the day does not run, it was not understood): asked again seldom. */
  | { is: 'turnedAway'; problems: Problem[] }

export type Outcome = {
  progress: Progress
  refused: Array<{ number: number; problems: Problem[] }>
  wait: Wait | null
}

export const BATCH = {
  reports: 200,
  /** JSON bytes of one request, with room for its envelope. */
  bytes: LIMITS.batchBytes - 1_024,
} as const

/** @param after the reports held with numbers above the given one, lowest first; a batch of them is enough */
export function nextStep(progress: Progress, after: (number: number) => readonly ReportEnvelope[]): Step {
  const { office, done } = progress
  if (office === null) return { is: 'ask' }
  const held = after(Math.min(office, done))
  const first = held[0]
  if (!first) return { is: 'rest' }
  if (first.number > office + 1) return { is: 'stuck', wanted: office + 1, holds: first.number }
  return { is: 'send', reports: batchOf(held) }
}

/** The longest run from the start that has no hole in its numbers and fits a request; at least one. */
function batchOf(held: readonly ReportEnvelope[]): ReportEnvelope[] {
  let bytes = 0
  const batch: ReportEnvelope[] = []
  for (const report of held) {
    bytes += Buffer.byteLength(JSON.stringify(report)) + 1
    const last = batch.at(-1)
    if (last && (report.number !== last.number + 1 || bytes > BATCH.bytes || batch.length === BATCH.reports))
      break
    batch.push(report)
  }
  return batch
}

/** @param sent the numbers of the request, lowest first; @param answer null: there was none */
export function afterAnswer(
  progress: Progress,
  sent: readonly number[],
  answer: ReportAnswer | null,
): Outcome {
  const backOff = { is: 'backOff' } as const
  // It may have arrived or not: the office is asked how far it is before anything is sent again.
  if (!answer) return { progress: { ...progress, office: null }, refused: [], wait: backOff }
  if (answer.ok) {
    const done = sent.filter(number => number <= answer.upTo).reduce((a, b) => Math.max(a, b), progress.done)
    const brought = sent.length === 0 || sent.some(number => number <= answer.upTo)
    return {
      progress: { office: answer.upTo, done },
      refused: answer.refused,
      // An answer that deals with nothing would be asked for again without end.
      wait: brought ? null : backOff,
    }
  }
  // Its `upTo` beside an advice to wait may be unknown to who answered: no word about what the office has.
  if (answer.retryAfter !== undefined)
    return { progress, refused: [], wait: { is: 'told', ms: answer.retryAfter } }
  if (answer.next !== undefined) {
    const office = answer.next - 1
    const further = progress.office !== null && office > progress.office
    return { progress: { ...progress, office }, refused: [], wait: further ? null : backOff }
  }
  return { progress, refused: [], wait: { is: 'turnedAway', problems: answer.problems ?? [] } }
}

/**
 * After the `upTo` of a heartbeat's answer. It may be of an earlier moment than the last report's, so one that is
 * lower is no proof yet that the office was restored from a copy: it is asked.
 */
export function afterHeartbeat(progress: Progress, upTo: number): Progress {
  return progress.office !== null && upTo < progress.office ? { ...progress, office: null } : progress
}

/** Milliseconds after so many failures in a row: 1 s, 2 s, 4 s … 30 s, each between half and whole. */
export function backOffMs(failures: number, random: number): number {
  const whole = Math.min(30_000, 1_000 * 2 ** Math.min(failures, 10))
  return whole / 2 + (random * whole) / 2
}
