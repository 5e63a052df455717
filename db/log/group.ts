import { datedOf } from '../../server/domain/log/aside.ts'
import type { Decision, NewEntry, Offered, Problems, ReportOutcome } from '../../server/domain/log/dayLog.ts'
import type { Instant } from '../../server/domain/time.ts'
import type { Tx } from '../connect.ts'
import type { Channels, DayChannel, HeadRow } from './channel.ts'
import { DayBatch, numberReused } from './dayBatch.ts'
import type { Waiting, Work } from './queue.ts'
import { cursorsOf, type Known, knownNumbers, lockHeads, readOn } from './rows.ts'

/** A group as it stands in its transaction, before the commit. */
export type Staged = { days: StagedDay[]; answers: Array<() => void> }
type StagedDay = { channel: DayChannel; batch: DayBatch; cursors: Map<string, number> }

type Report = Extract<Work, { is: 'report' }>
/** A source during one group: what was dealt with before it, and what it has taken since, in the order of the numbers. */
type SourceState = { before: number; taken: Offered[] }
type Lookups = { sources: Map<string, SourceState>; known: Map<string, Known[]> }

/** Entries that are sent together: while the database writes them, the next are numbered and chained. */
const PART = 256

/**
 * One transaction: lock the heads, catch up with other nodes, decide, drop what is there already, number, chain,
 * write. Nobody is answered here: `answers` are called after the commit.
 */
export async function stageGroup(
  tx: Tx,
  group: Waiting[],
  channels: Channels,
  now: (day: string) => Instant,
): Promise<Staged> {
  const days = [...new Set(group.map(item => item.day))].sort()
  const heads = await lockHeads(tx, days)
  const staged: Staged = { days: [], answers: [] }
  for (const day of days) {
    const head = heads.get(day)
    const items = group.filter(item => item.day === day && !item.settled)
    if (!head) {
      for (const item of items) item.reject(new Error(`there is no day ${day}`))
      continue
    }
    staged.days.push(await stageDay(tx, head, items, channels.of(day), now(day), staged.answers))
  }
  for (const { batch } of staged.days) await batch.finish(tx)
  return staged
}

async function stageDay(
  tx: Tx,
  head: HeadRow,
  items: Waiting[],
  channel: DayChannel,
  now: Instant,
  answers: Array<() => void>,
): Promise<StagedDay> {
  await catchUpUnderLock(tx, channel, head)
  const batch = new DayBatch(head, Math.max(now, head.recordedAt))
  const drafts = new Map<Waiting, Decision<unknown>>()
  for (const item of items) {
    const decided = await draftsOf(tx, item, batch)
    if (decided) drafts.set(item, decided)
  }
  const written = await alreadyWritten(tx, head.day, drafts)
  const lookups = await lookUp(tx, channel, items)
  // Commands were decided on the state at the head: nothing may come between.
  const inOrder = [...items.filter(i => i.work.is === 'decide'), ...items.filter(i => i.work.is !== 'decide')]
  let sending = Promise.resolve()
  for (const item of inOrder) {
    if (item.settled) continue
    if (batch.unsent >= PART) {
      await sending
      sending = batch.send(tx)
      sending.catch(() => {})
    }
    const mark = batch.mark()
    try {
      const { work } = item
      if (work.is === 'report') answers.push(takeReport(item, work, batch, lookups))
      else answers.push(takeDrafts(item, work, drafts.get(item)!, batch, written))
    } catch (error) {
      batch.backTo(mark)
      item.reject(error)
    }
  }
  await sending
  const cursors = new Map([...lookups.sources].map(([source, s]) => [source, s.before + s.taken.length]))
  return { channel, batch, cursors }
}

/** The entries that a command, a heartbeat or an erasure wants; null: a report, or it failed and was told. */
async function draftsOf(tx: Tx, item: Waiting, batch: DayBatch): Promise<Decision<unknown> | null> {
  const { work } = item
  if (work.is === 'report') return null
  if (work.is === 'erase') {
    const erased = await erase(tx, item.day, work.position)
    return {
      entries: erased ? [detailErased(work, erased.precinct, batch.now)] : [],
      result: erased !== undefined,
    }
  }
  try {
    return work.is === 'append'
      ? { entries: [work.make(batch.now)], result: undefined }
      : work.decide(batch.now)
  } catch (error) {
    item.reject(error)
    return null
  }
}

/** Adds what isn't there yet; returns how to answer. */
function takeDrafts(
  item: Waiting,
  work: Exclude<Work, Report>,
  { entries, result }: Decision<unknown>,
  batch: DayBatch,
  written: Set<string>,
): () => void {
  for (const draft of entries) if (!written.has(`${draft.source}\n${draft.number}`)) batch.add(draft, null)
  const { head } = batch
  return () =>
    settle(item, () => {
      if (work.is === 'append') work.settle(head)
      else if (work.is === 'decide') work.settle({ result, head })
      else work.settle(result === true)
    })
}

async function erase(
  tx: Tx,
  day: string,
  position: number,
): Promise<{ precinct: string | null } | undefined> {
  const [row] = await tx<{ precinct: string | null }[]>`
    update detail d set salt = null, words = null from entry e
    where d.day = ${day} and d.position = ${position} and d.words is not null
      and e.day = d.day and e.position = d.position
    returning e.precinct`
  return row
}

function detailErased(work: Extract<Work, { is: 'erase' }>, precinct: string | null, now: Instant): NewEntry {
  return {
    kind: 'DetailErased',
    version: 1,
    precinct,
    source: 'system',
    number: null,
    occurredAt: now,
    origin: { via: 'desk', wrote: work.wrote },
    body: { position: work.position, why: work.why },
  }
}

function settle(item: Waiting, answer: () => void): void {
  if (item.settled) return
  item.settled = true
  answer()
}

/** Gives the followers what other nodes wrote, so that a command is decided on the state at the head. */
async function catchUpUnderLock(tx: Tx, channel: DayChannel, head: HeadRow): Promise<void> {
  if (channel.revision === head.revision && channel.position === head.position) return
  if (channel.position === null) channel.position = head.position
  while (channel.position < head.position)
    channel.deliverForeign(await readOn(tx, head.day, channel.position, head.position))
  if (channel.revision !== head.revision) channel.epoch += 1
  channel.revision = head.revision
}

/** Numbered entries (of commands) that are there already: a retry writes nothing. */
async function alreadyWritten(
  tx: Tx,
  day: string,
  drafts: Map<Waiting, Decision<unknown>>,
): Promise<Set<string>> {
  const asked: Array<{ source: string; number: number }> = []
  for (const { entries } of drafts.values())
    for (const { source, number } of entries) if (number !== null) asked.push({ source, number })
  return new Set(asked.length > 0 ? (await knownNumbers(tx, day, asked)).keys() : [])
}

/** How far each reporting source was before this group, and what is kept under the numbers that come again. */
async function lookUp(tx: Tx, channel: DayChannel, items: Waiting[]): Promise<Lookups> {
  const sources = new Map<string, SourceState>()
  const unknown = new Set<string>()
  const reports = items.flatMap(item => (item.work.is === 'report' && !item.settled ? [item.work] : []))
  for (const { source } of reports) {
    const before = channel.exact(source)
    if (before === undefined) unknown.add(source)
    else if (!sources.has(source)) sources.set(source, { before, taken: [] })
  }
  if (unknown.size > 0)
    for (const [source, upTo] of await cursorsOf(tx, channel.day, [...unknown])) {
      channel.remember(source, upTo, true)
      sources.set(source, { before: upTo, taken: [] })
    }
  const again = reports.flatMap(({ source, offered }) =>
    offered[0] && offered[0].number <= sources.get(source)!.before
      ? offered.filter(o => o.number <= sources.get(source)!.before).map(o => ({ source, number: o.number }))
      : [],
  )
  return { sources, known: again.length > 0 ? await knownNumbers(tx, channel.day, again) : new Map() }
}

function asKnown(offered: Offered): Known {
  return { content: offered.content, problems: 'problems' in offered ? offered.problems : null }
}

/** Takes one batch of a source; returns how to answer it. */
function takeReport(item: Waiting, work: Report, batch: DayBatch, lookups: Lookups): () => void {
  const { source } = work
  const state = lookups.sources.get(source)!
  const takenBefore = state.taken.length
  const outcome: ReportOutcome = { upTo: 0, gap: false, refused: [] }
  const refuse = (number: number, problems: Problems) => outcome.refused.push({ number, problems })
  let keptAside = 0
  try {
    for (const offered of work.offered) {
      const { number, content } = offered
      const upTo = state.before + state.taken.length
      if (number > upTo + 1) {
        outcome.gap = true
        break
      }
      if (number === upTo + 1) {
        if ('make' in offered) {
          const draft = offered.make(batch.now)
          if (draft.source !== source || draft.number !== number)
            throw new Error(`report ${number} of ${source} was made into ${draft.number} of ${draft.source}`)
          batch.add(draft, content)
        } else {
          batch.refuse({
            source,
            number,
            content,
            sent: offered.sent,
            problems: offered.problems,
            aside: offered.aside !== undefined,
            dated: offered.aside?.(batch.now) ?? null,
          })
          if (offered.aside) keptAside += 1
          refuse(number, offered.problems)
        }
        state.taken.push(offered)
        continue
      }
      const kept =
        number > state.before
          ? [asKnown(state.taken[number - state.before - 1]!)]
          : (lookups.known.get(`${source}\n${number}`) ?? [])
      // An entry that a command or an older program wrote has no fingerprint: it can't differ from anything.
      const same = kept.find(k => k.content === content || k.content === null)
      if (same?.problems) refuse(number, same.problems)
      else if (!same) {
        const problems = numberReused(number)
        const dated =
          'make' in offered ? datedOf(offered.make(batch.now)) : (offered.aside?.(batch.now) ?? null)
        if (!batch.hasRefused({ source, number, content })) {
          batch.refuse({ source, number, content, sent: offered.sent, problems, aside: true, dated })
          keptAside += 1
        }
        refuse(number, problems)
      }
    }
    if (keptAside > 0 && work.keptAside) batch.add(work.keptAside(keptAside, batch.now), null)
  } catch (error) {
    state.taken.length = takenBefore
    throw error
  }
  outcome.upTo = state.before + state.taken.length
  return () => settle(item, () => work.settle(outcome))
}
