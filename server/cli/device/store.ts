import type { Problem, ReportEnvelope } from '../../protocol/device.ts'

type Refused = { number: number; problems: Problem[] }
type Unnumbered = Omit<ReportEnvelope, 'number'>

/** Where a device keeps what it said, until the office dealt with it and after: a restored office asks for it again. */
export type DeviceStore = {
  /** The highest number that is used, here or at the office. */
  last(): number
  /** The highest number that stood in a request which the office dealt with. */
  done(): number
  /** Reports that the office has not dealt with. */
  waiting(): number
  /** The first reports with numbers above this one, at most `most`, lowest first. */
  after(number: number, most: number): ReportEnvelope[]
  /** Takes the next number. What it returns is kept for good. @throws where the storage can't */
  add(said: Unnumbered): ReportEnvelope
  /** @returns of these refusals, the ones that were not known. @throws where the storage can't */
  settle(done: number, office: number, refused: readonly Refused[]): Refused[]
  refused(): readonly Refused[]
}

export const KEPT = {
  /** Reports that wait: a day of a tablet is some hundreds. At the bound nothing more is said. */
  waiting: 5_000,
  /** Reports that the office has, for going back. Older ones are let go, and refusals above the same number. */
  dealtWith: 5_000,
} as const

/** Keeps it in memory: for programs that keep their reports themselves, and below the file (fileStore.ts). */
export function memoryStore(upTo: number): DeviceStore {
  let last = upTo
  let done = upTo
  let reports: ReportEnvelope[] = []
  let refused: Refused[] = []
  /** Place of the first report with a number above this one: the numbers rise, so halves are enough. */
  const placeAfter = (number: number) => {
    let low = 0
    let high = reports.length
    while (low < high) {
      const middle = (low + high) >> 1
      if (reports[middle]!.number > number) high = middle
      else low = middle + 1
    }
    return low
  }
  return {
    last: () => last,
    done: () => done,
    waiting: () => reports.length - placeAfter(done),
    after: (number, most) => {
      const place = placeAfter(number)
      return reports.slice(place, place + most)
    },
    add(said) {
      const report = { number: last + 1, ...said }
      last = report.number
      reports.push(report)
      return report
    },
    settle(dealt, office, told) {
      done = Math.max(done, dealt)
      last = Math.max(last, office)
      const fresh = told.filter(one => !refused.some(known => known.number === one.number))
      refused = [...refused, ...fresh].slice(-KEPT.dealtWith)
      const old = placeAfter(done) - KEPT.dealtWith
      // Now and then, not at every answer.
      if (old > KEPT.dealtWith / 10) reports = reports.slice(old)
      return fresh
    },
    refused: () => refused,
  }
}
