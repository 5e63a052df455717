import type { Body, PrecinctKind } from '../../server/domain/log/kinds.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { KeptReport } from '../live/outboxStore.ts'
import { categoryWords, problemWords } from '../parts/vocabulary.ts'
import { containerWords, labelOf } from './names.ts'
import { REPORTED as R } from './wordsOfReports.ts'

/** One report as its worker reads it back. A kind this page doesn't know stands by its name. */
export function sayAs(report: Pick<KeptReport, 'kind' | 'body'>, plan: DevicePlan): string {
  const say = sentences[report.kind as PrecinctKind] as
    | ((body: Record<string, unknown>, plan: DevicePlan) => string)
    | undefined
  return say ? say(report.body, plan) : report.kind
}

const more = (words: string | undefined) => (words ? `: ${words}` : '')

const sentences: { [K in PrecinctKind]?: (body: Body<K>, plan: DevicePlan) => string } = {
  TeamReported: b => R.team(b.present, b.missing.map(m => `${m.howMany} ${m.role}`).join(', ')),
  StepCompleted: (b, plan) => R.step(plan.steps.find(s => s.code === b.step)?.title ?? b.step),
  OpeningTapeVerified: (b, plan) => R.tapeVerified(labelOf(plan, b.tabulator)),
  OpeningTapeRejected: (b, plan) =>
    R.tapeRejected(labelOf(plan, b.tabulator), b.problems.map(problemWords).join(', ')) + more(b.what),
  SealRecorded: b => R.seal(containerWords(b.container), b.found, b.state),
  PollsOpened: b => (b.withSlot ? R.openedWithSlot : R.opened),
  PollsSuspended: b => R.suspended(categoryWords(b.cause)) + more(b.what),
  PollsResumed: () => R.resumed,
  CountsReported: (b, plan) =>
    R.counts(
      [
        ...(Object.entries(R.countNames) as Array<[keyof typeof R.countNames, string]>).flatMap(
          ([name, words]) => (b[name] === undefined ? [] : [`${words} ${b[name]}`]),
        ),
        ...Object.entries(b.publicCount ?? {}).map(([tag, n]) => `${labelOf(plan, tag)} ${n}`),
      ].join(', '),
    ),
  LineReported: b => R.line(b.inLine, b.stationsWorking),
  EquipmentWentDown: (b, plan) => R.down(labelOf(plan, b.equipment)) + more(b.what),
  EquipmentRestored: (b, plan) => R.back(labelOf(plan, b.equipment)),
  EquipmentReplaced: (b, plan) => R.replaced(labelOf(plan, b.equipment), b.by),
  EmergencySlotOpened: () => R.slotOpened,
  EmergencySlotLocked: b => R.slotLocked(b.inSlot),
  SlotBallotsFed: b => R.slotFed(b.fed, b.handCounted, b.handedOver),
  IncidentNoted: b => R.incident(categoryWords(b.category)) + more(b.what),
  SuppliesRequested: b => R.supplies(b.item, b.howMany) + more(b.what),
  BallotBoxOpened: b => R.box(b.reason, b.byTwo) + more(b.note),
  HelpRequested: b => R.help(categoryWords(b.about)) + more(b.what),
  LastVoterServed: () => R.lastVoter,
  PollsClosed: b => R.closed(b.stillInLine),
  ClosingTapeSigned: (b, plan) => R.closingTape(labelOf(plan, b.tabulator), b.publicCount),
  CountsReconciled: b => R.reconciled + more(b.explanation),
  ReturnDeparted: b => R.departed(b.carriers, b.seals.join(', ')),
}
