import { fromRfc3339, MINUTE } from '../../server/domain/time.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { type Action, actions, type Key } from './actions.ts'
import { unsealedAtClose } from './flows/departing.ts'
import { tabulatorsNow } from './names.ts'
import type { PageState } from './pageState.ts'
import { countDue, type Times } from './reminders.ts'
import { slotNow } from './slotNow.ts'
import { stepList } from './steps.ts'
import type { Words } from './words/catalogue.ts'

/** Opening and closing are offered among what is next this long before their hour. */
const SOON = 15 * MINUTE

/**
 * What a precinct most likely tells next, most pressing first, and everything else it can tell. Nothing is
 * ever kept from a worker: what isn't next is in the second list.
 */
export function nextUp(
  plan: DevicePlan,
  page: PageState,
  times: Times,
  words: Words,
): { next: Action[]; more: Action[] } {
  const all = actions(plan, page, times, words)
  const wanted = [...new Set(nextKeys(plan, page, times, words))]
  const next = wanted.map(key => all[key])
  const more = (Object.keys(all) as Key[]).filter(key => !wanted.includes(key)).map(key => all[key])
  return { next, more }
}

function nextKeys(plan: DevicePlan, page: PageState, times: Times, words: Words): Key[] {
  if (page.departed || page.received) return ['incident', 'help']
  if (page.polls === 'not-open') return beforeOpening(plan, page, times, words)
  const slot = slotKeys(plan, page)
  if (page.polls === 'suspended') return ['resume', ...slot, 'incident', 'help']
  if (page.polls === 'open') return whileOpen(plan, page, times, slot)
  return afterClosing(plan, page, slot, words)
}

function beforeOpening(plan: DevicePlan, page: PageState, { now }: Times, words: Words): Key[] {
  const opensAt = fromRfc3339(plan.opensAt)
  const { doable, later } = stepList(plan, page, 'opening')
  const undone = doable.length + later.length > 0
  const tapesDone = tabulatorsNow(plan, page, words).every(t => page.tapes[t.tag] === 'verified')
  const here = page.teamHere !== null || page.stepsDone.has('team')
  const soon = now >= opensAt - SOON || !undone
  return [
    ...(now >= opensAt ? (['open'] as const) : []),
    ...(here ? [] : (['team', 'locked'] as const)),
    ...(undone ? (['steps'] as const) : []),
    ...(plan.containers.every(c => page.seals.has(c)) ? [] : (['seals'] as const)),
    ...(tapesDone ? [] : (['tapes'] as const)),
    ...(soon && now < opensAt ? (['open'] as const) : []),
    'help',
  ]
}

/** Closing at its hour first; then what keeps voters from voting or ballots from being safe; then the count that is due. */
function whileOpen(plan: DevicePlan, page: PageState, times: Times, slot: Key[]): Key[] {
  const closing = times.now >= fromRfc3339(plan.closesAt) - SOON
  const pressing = slot[0] === 'slotOpen' || slot[0] === 'slotLock' ? slot : []
  const waits = slot.filter(key => !pressing.includes(key))
  const machine: Key[] = page.down.length > 0 ? ['equipment'] : []
  return [
    ...(closing ? (['close'] as const) : []),
    ...pressing,
    ...(countDue(plan, page, times) === null ? [...waits, ...machine] : []),
    'counts',
    ...waits,
    'line',
    'equipment',
    'incident',
    'help',
  ]
}

/** Ballots of the slot are fed before the tape ends the count; what is reconciled stands on the tapes. */
function afterClosing(plan: DevicePlan, page: PageState, slot: Key[], words: Words): Key[] {
  const { doable, later } = stepList(plan, page, 'closing')
  const signed = tabulatorsNow(plan, page, words).every(t => page.closingTapes.has(t.tag))
  const unsealed = unsealedAtClose(plan, page).length > 0 || page.sealTrouble.length > 0
  return [
    ...(page.lastVoter || page.stepsDone.has('last-voter') ? [] : (['lastVoter'] as const)),
    ...slot,
    ...(doable.length + later.length > 0 ? (['closingSteps'] as const) : []),
    ...(signed ? [] : (['closingTape'] as const)),
    ...(page.reconciled ? [] : (['reconcile'] as const)),
    ...(unsealed ? (['custody'] as const) : []),
    'depart',
    'help',
  ]
}

const SLOT_KEYS = {
  open: ['slotOpen'],
  'keep-open': ['equipment', 'slotLock'],
  lock: ['slotLock'],
  feed: ['slotFed'],
} as const

function slotKeys(plan: DevicePlan, page: PageState): Key[] {
  const does = slotNow(plan, page)?.does
  return does ? [...SLOT_KEYS[does]] : []
}
