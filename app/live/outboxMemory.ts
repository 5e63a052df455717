import {
  closedAs,
  dealtWith,
  fixedAs,
  isOpen,
  KEPT,
  type KeptReport,
  LIMITED,
  type NewReport,
  type OutboxHead,
  type OutboxOwner,
  type OutboxStore,
  type ReportState,
  sentAgain,
} from './outboxStore.ts'

/** What several stores (tabs, or one enrolment after another) look at together. */
export type Shelf = { heads: Map<string, OutboxHead & OutboxOwner>; reports: Map<string, KeptReport[]> }

export function createShelf(): Shelf {
  return { heads: new Map(), reports: new Map() }
}

/**
 * An outbox store in memory: for browsers that refuse storage (the page then says that a reload loses what
 * waits) and for tests. Keeps the same promises as the one in IndexedDB, but for outliving the page.
 */
export function createMemoryStore(owner: OutboxOwner, shelf: Shelf = createShelf()): OutboxStore {
  const { device } = owner
  const all = () => shelf.reports.get(device) ?? []
  const head = () => {
    const found = shelf.heads.get(device)
    if (!found) throw new Error('the outbox was used before it was opened')
    return found
  }
  const replace = (reports: KeptReport[]) =>
    shelf.reports.set(
      device,
      reports.sort((a, b) => a.number - b.number),
    )
  const isLimited = (state: ReportState) => (LIMITED as readonly ReportState[]).includes(state)
  const openCount = () => all().filter(r => isLimited(r.state)).length
  const isToSend = (r: KeptReport) => r.state === 'waiting' || r.state === 'again'

  function take(said: NewReport): KeptReport {
    const report: KeptReport = { ...structuredClone(said), device, number: head().last + 1, state: 'waiting' }
    shelf.heads.set(device, { ...head(), last: report.number })
    replace([...all(), report])
    return report
  }

  function mark(of: { device: string; number: number }, state: 'mended' | 'left') {
    const reports = shelf.reports.get(of.device) ?? []
    shelf.reports.set(
      of.device,
      reports.map(r => (r.number === of.number ? closedAs(r, state) : r)),
    )
  }

  return {
    device,
    async open(upTo) {
      const old = shelf.heads.get(device)
      const next = { ...owner, last: Math.max(old?.last ?? 0, upTo), upTo: Math.max(old?.upTo ?? 0, upTo) }
      shelf.heads.set(device, next)
      return { last: next.last, upTo: next.upTo }
    },
    async add(said, limit) {
      return openCount() >= limit ? 'full' : take(said)
    },
    async waiting(max) {
      return all().filter(isToSend).slice(0, max)
    },
    async fix(going) {
      const by = new Map(going.map(one => [one.number, one]))
      replace(all().map(r => (r.stamp && by.has(r.number) ? fixedAs(r, by.get(r.number)!) : r)))
    },
    async settle({ numbers, upTo, refused, at }) {
      const dealt = new Set(numbers)
      const problems = new Map(refused.map(r => [r.number, r.problems]))
      const marked = all().map(r =>
        dealt.has(r.number) && isToSend(r) ? dealtWith(r, problems.get(r.number), at) : r,
      )
      const isClosed = (r: KeptReport) => !isToSend(r) && r.state !== 'refused'
      const oldest = marked.filter(isClosed).at(-KEPT.dealtWith)?.number ?? 0
      replace(marked.filter(r => !isClosed(r) || r.number >= oldest))
      const { last, upTo: before } = head()
      shelf.heads.set(device, { ...head(), last: Math.max(last, upTo), upTo: Math.max(before, upTo) })
    },
    async goBack(from) {
      const later = all().filter(r => r.number >= from)
      const lowest = all().find(isToSend)?.number ?? head().last + 1
      for (let n = from; n < lowest; n++) if (!later.some(r => r.number === n)) return false
      replace(all().map(r => (r.number >= from && r.number < lowest ? sentAgain(r) : r)))
      shelf.heads.set(device, { ...head(), upTo: Math.min(head().upTo, from - 1) })
      return true
    },
    async again(of, said, limit) {
      const old = (shelf.reports.get(of.device) ?? []).find(r => r.number === of.number)
      const frees = of.device === device && old && isLimited(old.state) ? 1 : 0
      if (openCount() - frees >= limit) return 'full'
      mark(of, 'mended')
      return take(said)
    },
    async leave(of) {
      mark(of, 'left')
    },
    async summary() {
      const mine = all()
      const leftovers = [...shelf.heads.values()]
        .filter(h => h.device !== device && h.day === owner.day && h.precinct === owner.precinct)
        .flatMap(h => (shelf.reports.get(h.device) ?? []).filter(isOpen))
      return {
        head: { last: head().last, upTo: head().upTo },
        waiting: mine.filter(isToSend).length,
        again: mine.filter(r => r.state === 'again').length,
        refused: mine.filter(r => r.state === 'refused').length,
        reports: [...mine].reverse(),
        leftovers,
      }
    },
  }
}
