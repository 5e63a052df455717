import type { DayState, PrecinctState } from '../day/state.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { heardToday, silenceApplies } from './silence.ts'
import { chanceTogether } from './together.ts'

/**
 * Whether precincts that fell silent at about the same time have an area or a kind of tablet in common.
 *
 * For each group the five minutes are taken in which most of its members fell silent. If silence struck at random, of
 * all that fell silent in those minutes so many or more in this one group would be rare: Fisher's exact test,
 * one-sided (together.ts). With several groups looked at, the chance is multiplied by their number (C. E. Bonferroni,
 * 1936), so that of looks at silence that strikes at random at most one in a hundred names any group. That rate is of
 * one look with its minutes given; choosing them after the fact adds a little that is not reckoned in.
 */
type GroupKind = 'area' | 'tablet'

export type CommonCause = {
  kind: GroupKind
  /** Name of the area, or label of the tablets. */
  name: string
  /** Members that fell silent together, in the order of it. */
  precincts: readonly string[]
  /** Every member that is silent, whenever it fell so, in that order. */
  silentMembers: readonly string[]
  /** First instant at which it was beyond chance. */
  since: Instant
  /** Members of the group of whom silence is asked, and others. */
  members: number
  others: number
  /** Chance by the test, 0–1, before it is multiplied; and groups looked at. */
  chance: number
  groups: number
}

/** Within so long of each other; fewer say nothing of a cause; and how often chance alone may name a group. */
const WITHIN = 5 * MINUTE
const FEWEST = 3
const ERROR_RATE = 0.01

type Group = { kind: GroupKind; name: string; members: number; silent: PrecinctState[] }

/** Every group whose silence is beyond chance. */
export function commonCauses(state: DayState, index: PlanIndex): CommonCause[] {
  const all: PrecinctState[] = []
  const silent: PrecinctState[] = []
  for (const p of state.precincts.values()) {
    if (!silenceApplies(p) || heardToday(p, index) === null) continue
    all.push(p)
    if (p.silentSince !== null) silent.push(p)
  }
  if (silent.length < FEWEST) return []
  silent.sort((a, b) => a.silentSince! - b.silentSince! || (a.code < b.code ? -1 : 1))
  const groups = groupsOf(all, silent, index)
  const causes: CommonCause[] = []
  for (const group of groups) {
    const cause = causeOf(group, groups.length, all.length, silent)
    if (cause) causes.push(cause)
  }
  return causes
}

/** Areas and labels of tablets of those that silence is asked of; none for what the plan doesn't name. */
function groupsOf(
  all: readonly PrecinctState[],
  silent: readonly PrecinctState[],
  index: PlanIndex,
): Group[] {
  const groups = new Map<string, Group>()
  const of = (p: PrecinctState) =>
    groupsHere(p.code, index).map(({ kind, name }) => {
      const key = `${kind}:${name}`
      const group = groups.get(key) ?? { kind, name, members: 0, silent: [] }
      groups.set(key, group)
      return group
    })
  for (const p of all) for (const group of of(p)) group.members += 1
  for (const p of silent) for (const group of of(p)) group.silent.push(p)
  return [...groups.values()]
}

function groupsHere(code: string, index: PlanIndex): Array<{ kind: GroupKind; name: string }> {
  const at = index.precincts.get(code)
  if (!at) return []
  const here: Array<{ kind: GroupKind; name: string }> = []
  if (at.place.area !== '') here.push({ kind: 'area', name: at.place.area })
  const labels = new Set<string>()
  for (const { kind, label } of at.equipment.values())
    if (kind === 'tablet' && label !== '') labels.add(label)
  for (const name of labels) here.push({ kind: 'tablet', name })
  return here
}

function causeOf(
  group: Group,
  groups: number,
  all: number,
  silent: readonly PrecinctState[],
): CommonCause | null {
  const together = mostWithin(group.silent)
  if (together.length < FEWEST) return null
  const from = together[0]!.silentSince!
  const inWindow = silent.filter(p => p.silentSince! >= from && p.silentSince! <= from + WITHIN)
  const chanceOf = (silentNow: number, here: number) => chanceTogether(all, silentNow, group.members, here)
  const chance = chanceOf(inWindow.length, together.length)
  if (chance * groups >= ERROR_RATE) return null
  const beyond = together.find((p, i) => {
    const by = inWindow.filter(q => q.silentSince! <= p.silentSince!).length
    return i + 1 >= FEWEST && chanceOf(by, i + 1) * groups < ERROR_RATE
  })
  return {
    kind: group.kind,
    name: group.name,
    precincts: together.map(p => p.code),
    silentMembers: group.silent.map(p => p.code),
    since: beyond?.silentSince ?? together.at(-1)!.silentSince!,
    members: group.members,
    others: all - group.members,
    chance,
    groups,
  }
}

/** Of those in order the most that fell silent within the window; of equals the latest. */
function mostWithin(silent: readonly PrecinctState[]): readonly PrecinctState[] {
  let best: readonly PrecinctState[] = []
  let first = 0
  for (let last = 0; last < silent.length; last++) {
    while (silent[last]!.silentSince! - silent[first]!.silentSince! > WITHIN) first++
    if (last - first + 1 >= best.length) best = silent.slice(first, last + 1)
  }
  return best
}
