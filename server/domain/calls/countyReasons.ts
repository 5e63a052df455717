import type { DayState, Reason } from '../day/state.ts'
import type { Draft } from '../log/entry.ts'
import type { PlanIndex } from '../plan/brief.ts'
import { type CommonCause, commonCauses } from '../silence/commonCause.ts'
import { ownLink } from '../silence/ownLink.ts'
import { silenceApplies } from '../silence/silence.ts'
import type { Instant } from '../time.ts'
import { ASSUMED, type Coming, comingSoon, type Risk } from './atRisk.ts'
import { type Condition, reasonKey } from './condition.ts'
import { judgeGone, type Memory, NONE } from './pending.ts'
import { raise } from './raise.ts'

/**
 * Reasons of the whole county: our own link, and a cause that silent precincts share. They are judged when all
 * precincts are looked at.
 */

const COUNTY = ''

/** How a precinct's arrivals are told; null where the plan doesn't have it. */
type ComingAt = (code: string) => Coming | null
type Judging = {
  state: DayState
  index: PlanIndex
  now: Instant
  comingAt: ComingAt
  memory: Memory
  drafts: Draft[]
}

/** @returns whether the link is to be taken as broken */
export function judgeCounty(judging: Judging): boolean {
  const { state, index, now, memory, drafts } = judging
  const gone = new Map<string, number>()
  const goneBefore = memory.get(COUNTY)?.gone ?? NONE
  const present = new Set<string>()
  const { rules } = index.plan.policy
  const broken = linkBroken(judging, present)
  // While nearly all are silent, or were just now, no group of them says anything: what stands of groups is held.
  if (broken || state.reasons['own-link']) {
    for (const { key, rule } of Object.values(state.reasons)) if (rule === 'silent-together') present.add(key)
  } else if (rules['silent-together'].enabled) groupsSilent(judging, present)
  for (const key in state.reasons)
    if (!present.has(key))
      gone.set(key, judgeGone(state.reasons[key]!, goneBefore.get(key), index, now, drafts))
  if (gone.size > 0) memory.set(COUNTY, { gone, delayed: NONE })
  else memory.delete(COUNTY)
  return broken
}

function linkBroken({ state, index, now, comingAt, drafts }: Judging, present: Set<string>): boolean {
  const standing = state.reasons['own-link']
  if (!index.plan.policy.rules['own-link'].enabled) return false
  const link = ownLink(state, index, now)
  if (!(standing ? link.stillBroken : link.broken)) return false
  present.add('own-link')
  const all = summed(state.precincts.keys(), comingAt)
  const share = link.missing / link.of
  const condition: Condition = {
    since: link.since ?? standing?.since ?? now,
    risk: all && { ...all, voterMinutes: all.voterMinutes * share, people: all.people * share },
    evidence: { missing: link.missing, of: link.of },
  }
  const draft = raise('own-link', null, 'own-link', condition, standing, index, now)
  if (draft) drafts.push(draft)
  return true
}

/**
 * What stands ends when fewer than two of its precincts are still silent, and is written anew only where more of its
 * group have fallen silent: who comes back one by one is no news of the cause.
 */
function groupsSilent({ state, index, now, comingAt, drafts }: Judging, present: Set<string>): void {
  for (const cause of commonCauses(state, index)) {
    const key = reasonKey('silent-together', null, `${cause.kind}:${cause.name}`)
    const standing = state.reasons[key]
    const known = standing ? stillSilent(standing, state) : []
    const stretch = stretchOf([...known, ...cause.precincts], state)
    const precincts = cause.silentMembers.filter(code => within(stretch, silentSince(code, state)))
    if (standing && precincts.length === known.length && known.length >= STILL) continue
    present.add(key)
    const condition: Condition = {
      since: cause.since,
      risk: summed(precincts, comingAt),
      evidence: evidenceOf(cause, precincts, stretch, state),
    }
    const draft = raise('silent-together', null, key, condition, standing, index, now)
    if (draft) drafts.push(draft)
  }
  for (const reason of Object.values(state.reasons))
    if (reason.rule === 'silent-together' && stillSilent(reason, state).length >= STILL)
      present.add(reason.key)
}

/** So many still silent are still together. */
const STILL = 2

/** Those of a standing reason that are silent now, and of whom it is still asked. */
function stillSilent({ evidence }: Reason, state: DayState): string[] {
  const { precincts } = evidence
  if (!Array.isArray(precincts)) return []
  return precincts.filter(code => silentSince(code, state) !== null)
}

function silentSince(code: string, state: DayState): Instant | null {
  const p = state.precincts.get(code)
  return p && silenceApplies(p) ? p.silentSince : null
}

/** From the first to the last silence of some that are silent. */
type Stretch = { first: Instant; last: Instant }

function stretchOf(silent: readonly string[], state: DayState): Stretch {
  const instants = silent.map(code => silentSince(code, state)).filter(at => at !== null)
  return { first: Math.min(...instants), last: Math.max(...instants) }
}

function within({ first, last }: Stretch, at: Instant | null): boolean {
  return at !== null && at >= first && at <= last
}

/**
 * Whoever is named is counted: a group that grows was silent in more than one stretch of five minutes, so that first, last
 * and those elsewhere are of the whole stretch. The chance is that of the latest five minutes.
 */
function evidenceOf(
  cause: CommonCause,
  precincts: readonly string[],
  stretch: Stretch,
  state: DayState,
): Condition['evidence'] {
  let silent = 0
  for (const code of state.precincts.keys()) if (within(stretch, silentSince(code, state))) silent++
  return {
    group: cause.kind,
    name: cause.name,
    precincts: [...precincts],
    silent: precincts.length,
    of: cause.members,
    otherSilent: silent - precincts.length,
    others: cause.others,
    groups: cause.groups,
    chance: Number(cause.chance.toPrecision(2)),
    firstAt: stretch.first,
    lastAt: stretch.last,
  }
}

/** What can't be seen costs, as assumed, everybody who comes to these precincts within the horizon. */
function summed(codes: Iterable<string>, comingAt: ComingAt): Risk | null {
  let sum: Risk | null = null
  for (const code of codes) {
    const coming = comingAt(code)
    if (!coming) continue
    const here = comingSoon(coming, ASSUMED.unseenMinutes)
    sum = sum
      ? { ...here, voterMinutes: sum.voterMinutes + here.voterMinutes, people: sum.people + here.people }
      : here
  }
  return sum
}
