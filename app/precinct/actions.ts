import { fromRfc3339, type Instant } from '../../server/domain/time.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { containerWords, labelOf, tabulatorsNow } from './names.ts'
import { tabulatorsOut } from './outOfUse.ts'
import type { LastValue, PageState } from './pageState.ts'
import { countDue, countedLast, type Times } from './reminders.ts'
import { slotNow } from './slotNow.ts'
import { stepList } from './steps.ts'
import type { Words } from './words/catalogue.ts'

export type Group = keyof Words['home']['groups']
export type Key = keyof Words['actions']
/** `now`: it waits for this precinct at this moment. */
export type Action = { screen: string; title: string; note?: string; now?: boolean; group: Group }

type Some = { [K in Key]?: Action }

/** All that a precinct can tell, each with how it stands; in the order of their headings. */
export function actions(plan: DevicePlan, page: PageState, times: Times, words: Words): Record<Key, Action> {
  const of = { plan, page, times, words }
  return { ...people(of), ...machines(of), ...ballots(of), ...room(of), ...office(of) }
}

type Of = { plan: DevicePlan; page: PageState; times: Times; words: Words }

function people({ page, times: { time, dayOf }, words: { actions: A } }: Of) {
  const line = page.counts.inLine
  return {
    team: { screen: 'flow/team', title: A.team.title, note: A.team.note, group: 'people' },
    locked: { screen: 'flow/locked', title: A.locked.title, note: A.locked.note, group: 'people' },
    line: {
      screen: 'flow/line',
      title: A.line.title,
      note: line?.at ? A.line.last(line.is, time(dayOf(line.at))) : A.line.note,
      group: 'people',
    },
    lastVoter: {
      screen: 'flow/last-voter',
      title: A.lastVoter.title,
      note: A.lastVoter.note,
      group: 'people',
    },
  } satisfies Some
}

function machines({ plan, page, words }: Of) {
  const { actions: A } = words
  const tabulators = tabulatorsNow(plan, page, words)
  const verified = tabulators.filter(t => page.tapes[t.tag] === 'verified').length
  const signed = tabulators.filter(t => page.closingTapes.has(t.tag)).length
  const rejected = tabulators.filter(t => page.tapes[t.tag] === 'rejected').map(t => t.label)
  const down = page.down.map(t => labelOf(plan, t)).join(', ')
  return {
    equipment: {
      screen: 'equipment',
      title: A.equipment.title,
      note: page.down.length > 0 ? A.equipment.down(down) : A.equipment.note,
      group: 'machines',
    },
    tapes: {
      screen: 'tapes',
      title: A.tapes.title,
      note:
        rejected.length > 0
          ? A.tapes.rejected(rejected.join(', '))
          : A.tapes.note(verified, tabulators.length),
      group: 'machines',
    },
    closingTape: {
      screen: 'closing-tapes',
      title: A.closingTape.title,
      note: A.closingTape.note(signed, tabulators.length),
      group: 'machines',
    },
  } satisfies Some
}

function ballots(of: Of) {
  const { plan, page, words } = of
  const { actions: A } = words
  const counted = (name: 'curbside' | 'provisional' | 'spoiled') => ({
    screen: `flow/count-${name}`,
    title: A[name].title,
    note: lastOf(page.counts[name], of) ?? A[name].note,
    group: 'ballots' as const,
  })
  return {
    counts: { screen: 'flow/counts', title: A.counts.title, ...countsNow(of), group: 'ballots' },
    curbside: counted('curbside'),
    provisional: counted('provisional'),
    spoiled: counted('spoiled'),
    ...slot(of),
    box: { screen: 'flow/box', title: A.box.title, note: A.box.note, group: 'ballots' },
    seals: {
      screen: 'seals',
      title: A.seals.title,
      note: A.seals.note(plan.containers.filter(c => page.seals.has(c)).length, plan.containers.length),
      group: 'ballots',
    },
    custody: {
      screen: 'custody',
      title: A.custody.title,
      note:
        page.sealTrouble.length > 0
          ? A.custody.wrong(page.sealTrouble.map(c => containerWords(c, words)).join(', '))
          : A.custody.note,
      group: 'ballots',
    },
    reconcile: { screen: 'reconcile', title: A.reconcile.title, note: A.reconcile.note, group: 'ballots' },
  } satisfies Some
}

function countsNow({ plan, page, times, words: { actions: A } }: Of): { note: string; now: boolean } {
  const due = countDue(plan, page, times)
  const last = countedLast(plan, page, times)
  if (due !== null) return { note: A.counts.due(times.time(due)), now: true }
  return { note: last === null ? A.counts.never : A.counts.last(times.time(last)), now: false }
}

function slot({ plan, page, words: { actions: A } }: Of) {
  const does = slotNow(plan, page)
  const lock = does?.does === 'lock'
  const feed = does?.does === 'feed' && does.wait !== null
  return {
    slotOpen: {
      screen: 'flow/slot-opened',
      title: A.slotOpen.title,
      note: A.slotOpen.note,
      now: does?.does === 'open',
      group: 'ballots',
    },
    slotLock: {
      screen: 'flow/slot-locked',
      title: A.slotLock.title,
      note: lock ? A.slotLock.now : A.slotLock.note,
      now: lock,
      group: 'ballots',
    },
    slotFed: {
      screen: 'flow/slot-fed',
      title: A.slotFed.title,
      note: feed ? A.slotFed.wait(does.wait!) : A.slotFed.note(page.inSlot),
      now: feed,
      group: 'ballots',
    },
  } satisfies Some
}

function room({ plan, page, times: { now, time }, words }: Of) {
  const { actions: A } = words
  const [opening, closing] = [stepList(plan, page, 'opening'), stepList(plan, page, 'closing')]
  const of = (list: typeof opening) => list.done.length + list.doable.length + list.later.length
  const [opens, closes] = [fromRfc3339(plan.opensAt), fromRfc3339(plan.closesAt)]
  return {
    steps: {
      screen: 'steps/opening',
      title: A.steps.title,
      note: A.steps.note(opening.done.length, of(opening)),
      group: 'room',
    },
    open: hourly('flow/open', A.open, opens, page.polls === 'not-open', openNow()),
    suspend: { screen: 'flow/suspend', title: A.suspend.title, note: A.suspend.note, group: 'room' },
    resume: { screen: 'flow/resume', title: A.resume.title, note: A.resume.note, group: 'room' },
    move: { screen: 'flow/move', title: A.move.title, note: A.move.note, group: 'room' },
    close: hourly('flow/close', A.close, closes, page.polls === 'open'),
    closingSteps: {
      screen: 'steps/closing',
      title: A.closingSteps.title,
      note: A.closingSteps.note(closing.done.length, of(closing)),
      group: 'room',
    },
  } satisfies Some

  function hourly(
    screen: string,
    { title, note }: Words['actions']['close'],
    hour: Instant,
    waits: boolean,
    onTime = note(time(hour)),
  ): Action {
    const due = waits && now >= hour
    return { screen, title, note: due ? onTime : note(time(hour)), now: due, group: 'room' }
  }

  /** A tabulator in doubt is never a reason to keep the polls shut. */
  function openNow(): string {
    const out = tabulatorsOut(plan, page)
    const ready = ({ tag }: { tag: string }) =>
      page.tapes[tag] === 'verified' && !page.down.includes(tag) && !out.has(tag)
    if (plan.tabulators.length === 0 || tabulatorsNow(plan, page, words).some(ready)) return A.open.now
    return plan.page.openWithSlot ? A.open.withSlot : A.open.asCounty
  }
}

function office({ words: { actions: A } }: Of) {
  return {
    help: { screen: 'flow/help', title: A.help.title, note: A.help.note, group: 'office' },
    supplies: { screen: 'flow/supplies', title: A.supplies.title, note: A.supplies.note, group: 'office' },
    incident: { screen: 'flow/incident', title: A.incident.title, note: A.incident.note, group: 'office' },
    depart: { screen: 'flow/depart', title: A.depart.title, note: A.depart.note, group: 'office' },
  } satisfies Some
}

function lastOf(last: LastValue | undefined, { times: { time, dayOf }, words }: Of): string | undefined {
  return last && words.counts.last(last.is, last.at === null ? null : time(dayOf(last.at)))
}
