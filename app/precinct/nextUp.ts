import { fromRfc3339, type Instant, MINUTE } from '../../server/domain/time.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { labelOf, tabulatorsNow } from './names.ts'
import type { PageState } from './pageState.ts'
import { stepList } from './steps.ts'
import { ACTIONS as A } from './words.ts'

export type Action = { screen: string; title: string; note?: string; now?: boolean }

/** Opening and closing are offered among what is next this long before their hour. */
const SOON = 15 * MINUTE

type Times = {
  now: Instant
  time(at: Instant): string
  /** Day time of a moment by this device's clock (RFC 3339). */
  dayOf(at: string): Instant
}

/**
 * What a precinct most likely tells next, most pressing first, and everything else it can tell. Nothing is
 * ever kept from a worker: what isn't next is in the second list.
 */
export function nextUp(plan: DevicePlan, page: PageState, times: Times): { next: Action[]; more: Action[] } {
  const all = actions(plan, page, times)
  const wanted = nextKeys(plan, page, times.now)
  const next = wanted.map(key => all[key])
  const more = (Object.keys(all) as Key[]).filter(key => !wanted.includes(key)).map(key => all[key])
  return { next, more }
}

type Key = keyof typeof A

function nextKeys(plan: DevicePlan, page: PageState, now: Instant): Key[] {
  const tabulators = tabulatorsNow(plan, page)
  const opening = stepList(plan, page, 'opening')
  const tapesDone = tabulators.every(t => page.tapes[t.tag] === 'verified')
  const tabulatorDown = tabulators.some(t => page.down.includes(t.tag))
  const slot: Key[] = page.slotOpen
    ? ['slotLock']
    : tabulatorDown
      ? ['slotOpen']
      : (page.inSlot ?? 0) > 0
        ? ['slotFed']
        : []
  if (page.polls === 'not-open') {
    const open = now >= fromRfc3339(plan.opensAt) - SOON || opening.doable.length + opening.later.length === 0
    return [
      ...(now >= fromRfc3339(plan.opensAt) ? (['open'] as const) : []),
      ...(page.teamHere || page.stepsDone.has('team') ? [] : (['team'] as const)),
      ...(opening.doable.length + opening.later.length > 0 ? (['steps'] as const) : []),
      ...(plan.containers.every(c => page.seals.has(c)) ? [] : (['seals'] as const)),
      ...(tapesDone ? [] : (['tapes'] as const)),
      ...(open && now < fromRfc3339(plan.opensAt) ? (['open'] as const) : []),
      'help',
    ]
  }
  if (page.polls === 'suspended') return ['resume', ...slot, 'incident', 'help']
  if (page.polls === 'open') {
    const closing = now >= fromRfc3339(plan.closesAt) - SOON
    return [
      ...(closing ? (['close'] as const) : []),
      ...slot,
      'counts',
      'line',
      'equipment',
      'incident',
      'help',
    ]
  }
  if (page.departed) return ['incident', 'help']
  const steps = stepList(plan, page, 'closing')
  return [
    ...(page.lastVoter || page.stepsDone.has('last-voter') ? [] : (['lastVoter'] as const)),
    ...(steps.doable.length + steps.later.length > 0 ? (['closingSteps'] as const) : []),
    ...((page.inSlot ?? 0) > 0 ? (['slotFed'] as const) : []),
    ...(tabulators.every(t => page.closingTapes.has(t.tag)) ? [] : (['closingTape'] as const)),
    ...(page.reconciled ? [] : (['reconcile'] as const)),
    'depart',
    'help',
  ]
}

function actions(plan: DevicePlan, page: PageState, { now, time, dayOf }: Times): Record<Key, Action> {
  const tabulators = tabulatorsNow(plan, page)
  const opening = stepList(plan, page, 'opening')
  const closing = stepList(plan, page, 'closing')
  const opened = fromRfc3339(plan.opensAt)
  const here = page.countedAt === null ? 0 : dayOf(page.countedAt)
  // Counted by another tablet, or told by telephone: the office has it, so it isn't due here.
  const there = plan.has.countedAt === null ? 0 : fromRfc3339(plan.has.countedAt)
  const counted = Math.max(here, there) || null
  const dueAt = (counted ?? opened) + plan.countEveryMinutes * MINUTE
  const due = page.polls === 'open' && now > dueAt
  const line = page.counts.inLine
  const verified = tabulators.filter(t => page.tapes[t.tag] === 'verified').length
  const signed = tabulators.filter(t => page.closingTapes.has(t.tag)).length
  const of = (list: typeof opening) => list.done.length + list.doable.length + list.later.length
  return {
    open: {
      screen: 'flow/open',
      title: A.open.title,
      note: A.open.note(time(opened)),
      now: now >= opened && page.polls === 'not-open',
    },
    team: { screen: 'flow/team', title: A.team.title, note: A.team.note },
    steps: {
      screen: 'steps/opening',
      title: A.steps.title,
      note: A.steps.note(opening.done.length, of(opening)),
    },
    seals: {
      screen: 'seals',
      title: A.seals.title,
      note: A.seals.note(plan.containers.filter(c => page.seals.has(c)).length, plan.containers.length),
    },
    tapes: { screen: 'tapes', title: A.tapes.title, note: A.tapes.note(verified, tabulators.length) },
    counts: {
      screen: 'flow/counts',
      title: A.counts.title,
      note: due
        ? A.counts.due(time(dueAt))
        : counted === null
          ? A.counts.never
          : A.counts.last(time(counted)),
      now: due,
    },
    line: {
      screen: 'flow/line',
      title: A.line.title,
      note: line?.at ? A.line.last(line.is, time(dayOf(line.at))) : A.line.note,
    },
    equipment: {
      screen: 'equipment',
      title: A.equipment.title,
      note:
        page.down.length > 0
          ? A.equipment.down(page.down.map(t => labelOf(plan, t)).join(', '))
          : A.equipment.note,
    },
    slotOpen: { screen: 'flow/slot-opened', title: A.slotOpen.title, note: A.slotOpen.note },
    slotLock: { screen: 'flow/slot-locked', title: A.slotLock.title, note: A.slotLock.note },
    slotFed: { screen: 'flow/slot-fed', title: A.slotFed.title, note: A.slotFed.note(page.inSlot) },
    box: { screen: 'flow/box', title: A.box.title, note: A.box.note },
    supplies: { screen: 'flow/supplies', title: A.supplies.title, note: A.supplies.note },
    incident: { screen: 'flow/incident', title: A.incident.title, note: A.incident.note },
    help: { screen: 'flow/help', title: A.help.title, note: A.help.note },
    suspend: { screen: 'flow/suspend', title: A.suspend.title, note: A.suspend.note },
    resume: { screen: 'flow/resume', title: A.resume.title, note: A.resume.note },
    close: {
      screen: 'flow/close',
      title: A.close.title,
      note: A.close.note(time(fromRfc3339(plan.closesAt))),
      now: page.polls === 'open' && now >= fromRfc3339(plan.closesAt),
    },
    lastVoter: { screen: 'flow/last-voter', title: A.lastVoter.title, note: A.lastVoter.note },
    closingSteps: {
      screen: 'steps/closing',
      title: A.closingSteps.title,
      note: A.closingSteps.note(closing.done.length, of(closing)),
    },
    closingTape: {
      screen: 'closing-tapes',
      title: A.closingTape.title,
      note: A.closingTape.note(signed, tabulators.length),
    },
    reconcile: { screen: 'flow/reconcile', title: A.reconcile.title, note: A.reconcile.note },
    depart: { screen: 'flow/depart', title: A.depart.title, note: A.depart.note },
  }
}
