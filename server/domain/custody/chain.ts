import { plainSeal } from '../returns/plainSeal.ts'
import type { Instant } from '../time.ts'

/**
 * The chain of custody of one container: every seal on it, one after another, from the morning until it was received,
 * with each gap by its name. Common practice: a seal that is taken off is recorded by its number, the one that takes
 * its place too, so that at any hour the number on the container is the last one on record.
 */

export type Work = {
  at: Instant
  act: 'found' | 'removed' | 'applied' | 'opened'
  number: string | null
  state: 'intact' | 'broken' | 'missing'
}

export type Gap =
  /** Another number than was there last. */
  | 'different'
  | 'broken'
  | 'missing'
  /** Its seal was taken off, or it was opened, and no new seal was put on. */
  | 'open-since'
  /** Nobody compared the morning's seal. */
  | 'not-looked-at'
  /** It left, and no seal on it is on record. */
  | 'left-unsealed'
  /** It left, and the precinct did not name its seal among those that went along. */
  | 'not-in-return'
  /** Its seal was not among those that were received. */
  | 'received-different'

export type Link = {
  at: Instant
  act: Work['act'] | 'left' | 'received'
  /** As it was written; null: none is known. */
  number: string | null
  state: Work['state']
  gaps: readonly Gap[]
}

/** What the plan says of a container's seal, and whether a number is the planned one: who asks need not know it. */
export type Expects = {
  /** `morning`: the seal is there and is compared; `evening`: it is put on at closing; null: the plan names none. */
  when: 'morning' | 'evening' | null
  is(number: string): boolean
}

/** A departure or a receipt; `seals` null: nobody said which. */
type Stage = { at: Instant; seals: readonly string[] | null }
export type Journey = { left: Stage | null; received: Stage | null }
const NO_JOURNEY: Journey = { left: null, received: null }

export type Chain = {
  container: string
  /** In order of time; what happened at the same instant stays in the order given. */
  links: readonly Link[]
  /** Of the whole chain: `not-looked-at`. */
  gaps: readonly Gap[]
  /** The link by which its seal is wrong now, and what was to be there (null: the plan's number). */
  wrong: { link: Link; against: ReadonlyArray<string | null> } | null
  /** Since when it stands open though it was sealed. */
  openSince: Instant | null
}

/** The plan's number, which need not be known here. */
const PLANNED = null
type OnIt = ReadonlyArray<string | null>

/** Where a container stands while its chain is gone through. */
type Standing = {
  on: OnIt
  /** Whether what is on it is on record: planned for the morning, or put on today. Else a look only tells. */
  sure: boolean
  /** Whether the plan's number was met, or another may stand in its place since a seal was taken off. */
  met: boolean
  /** What was on it when it was opened: a number that is read off then may still be told after. */
  before: OnIt
  compared: boolean
  late: boolean
  openedBy: number | null
  leftUnsealed: boolean
  wrong: Chain['wrong']
}

/**
 * The chain of one container.
 *
 * - Expected is the number put on last, else the plan's. After a seal was taken off nothing is expected until another
 *   is put on; any number is right then, but a container that is sealed in the evening gets the plan's first.
 * - A container may have several seals: it is open when the last of them is off. A number that nobody put on, taken
 *   off, leaves nothing: what is on it then is not known.
 * - A wrong number stays wrong until the seal is looked at again and is right: a new seal answers no question about the
 *   old one. What was broken or missing is mended by a new seal.
 * - What stays at the place (no evening seal, none of its numbers among those that went) makes no journey.
 */
export function chainOf(
  container: string,
  work: readonly Work[],
  expects: Expects,
  journey: Journey = NO_JOURNEY,
): Chain {
  const s: Standing = {
    on: expects.when === 'morning' ? [PLANNED] : [],
    sure: expects.when === 'morning',
    met: expects.when !== 'evening',
    before: [],
    compared: false,
    late: false,
    openedBy: null,
    leftUnsealed: false,
    wrong: null,
  }
  const links: Link[] = []
  for (const event of inOrder(work, journey)) {
    if (event.is === 'work') links.push(worked(event.work, s, expects, links.length))
    else if (event.is === 'left') links.push(...leaving(event.stage, s, expects, work.length > 0))
    else links.push(...arriving(event.stage, s, expects, links))
  }
  if (s.openedBy !== null) links[s.openedBy] = withGap(links[s.openedBy]!, 'open-since')
  const unseen = expects.when === 'morning' && (!s.compared || s.late)
  return {
    container,
    links,
    gaps: unseen ? ['not-looked-at'] : [],
    wrong: s.wrong,
    openSince: s.openedBy === null ? null : links[s.openedBy]!.at,
  }
}

type Event = { is: 'work'; at: Instant; work: Work } | { is: 'left' | 'received'; at: Instant; stage: Stage }

/** Sorting is stable: work of one instant stays in its order and stands before the journey. */
function inOrder(work: readonly Work[], { left, received }: Journey): Event[] {
  const events: Event[] = work.map(one => ({ is: 'work', at: one.at, work: one }))
  if (left) events.push({ is: 'left', at: left.at, stage: left })
  if (received) events.push({ is: 'received', at: received.at, stage: received })
  return events.sort((a, b) => a.at - b.at)
}

function worked({ at, act, number, state }: Work, s: Standing, expects: Expects, index: number): Link {
  const against = expectedOn(s, act, expects)
  const gaps: Gap[] = []
  if (state !== 'intact') gaps.push(state)
  if (number !== null && state !== 'missing' && against !== 'any' && !isOn(number, against, expects))
    gaps.push('different')
  const link: Link = { at, act, number, state, gaps }
  judge(link, against === 'any' ? [] : against, s)
  s.met ||= act === 'removed' || (act !== 'opened' && gaps.length === 0)
  if (act === 'applied' || act === 'opened') s.late ||= !s.compared
  else s.compared = true
  const sealed = s.on.length > 0
  take(link, s, expects)
  if (s.on.length > 0) s.openedBy = null
  else if (sealed && state !== 'missing') s.openedBy = index
  return link
}

/** The numbers that this work may name; `any`: every number is right. */
function expectedOn(s: Standing, act: Work['act'], { when }: Expects): OnIt | 'any' {
  if (act === 'applied') return s.met ? 'any' : [PLANNED]
  if (!s.sure) return when === null ? 'any' : [PLANNED]
  return s.on.length > 0 ? s.on : s.before
}

function judge(link: Link, against: OnIt, s: Standing) {
  if (link.act === 'opened') return
  if (link.gaps.length > 0) {
    s.wrong = { link, against }
    return
  }
  const mends =
    link.act !== 'applied' || s.wrong?.link.act === 'applied' || !s.wrong?.link.gaps.includes('different')
  if (mends) s.wrong = null
}

/** What is on the container after a link. */
function take({ act, number, state, gaps }: Link, s: Standing, expects: Expects) {
  if (act === 'opened') {
    if (s.on.length > 0) s.before = s.on
    s.on = []
  } else if (act === 'applied') {
    s.on = s.sure ? [...s.on, number] : [number]
    s.sure = true
    s.before = []
  } else if (act === 'removed') {
    const known = number !== null && s.on.length > 1 && isOn(number, s.on, expects)
    s.on = known ? s.on.filter(one => !isOn(number, [one], expects)) : []
    s.before = []
  } else if (state === 'missing') s.on = []
  else if (!s.sure) s.on = [number]
  // It was opened, and is seen with the seal that was on it: that opening left it whole.
  else if (s.on.length === 0 && gaps.length === 0) s.on = s.before
}

function isOn(number: string, on: OnIt, expects: Expects): boolean {
  return on.some(one => (one === PLANNED ? expects.is(number) : plainSeal(one) === plainSeal(number)))
}

function leaving({ at, seals }: Stage, s: Standing, expects: Expects, anyWork: boolean): Link[] {
  const link = (number: string | null, gaps: Gap[] = []): Link => ({
    at,
    act: 'left',
    number,
    state: 'intact',
    gaps,
  })
  if (seals !== null && (s.on.length === 0 || s.on.includes(PLANNED))) claim(seals, s, expects)
  const goes = expects.when === 'evening' || s.on.some(one => one !== PLANNED && among(one, seals ?? []))
  if (!goes) return []
  if (s.on.length > 0)
    return s.on.map(number =>
      link(number, number !== PLANNED && seals && !among(number, seals) ? ['not-in-return'] : []),
    )
  s.leftUnsealed = seals !== null || anyWork
  return [link(null, s.leftUnsealed ? ['left-unsealed'] : [])]
}

function arriving({ at, seals }: Stage, s: Standing, expects: Expects, links: readonly Link[]): Link[] {
  if (seals !== null && (s.on.length === 0 || s.on.includes(PLANNED))) claim(seals, s, expects)
  const left = links.some(one => one.act === 'left')
  const comes =
    left || expects.when === 'evening' || s.on.some(one => one !== PLANNED && among(one, seals ?? []))
  if (!comes) return []
  const numbers = s.on.length > 0 ? s.on : [null]
  return numbers.map((number): Link => {
    const there = seals === null || (number === null ? s.leftUnsealed : among(number, seals))
    return { at, act: 'received', number, state: 'intact', gaps: there ? [] : ['received-different'] }
  })
}

/** Where nothing on record names its seal, the planned number among those of the return is it. */
function claim(seals: readonly string[], s: Standing, expects: Expects) {
  if (expects.when === null || (s.sure && s.on.length === 0)) return
  const number = seals.find(expects.is)
  if (number === undefined) return
  s.on = s.on.length === 0 ? [number] : s.on.map(one => one ?? number)
  s.sure = true
}

function among(number: string, seals: readonly string[]): boolean {
  return seals.some(seal => plainSeal(seal) === plainSeal(number))
}

function withGap(link: Link, gap: Gap): Link {
  return { ...link, gaps: [...link.gaps, gap] }
}
