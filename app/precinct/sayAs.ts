import type { Body, PrecinctKind } from '../../server/domain/log/kinds.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { KeptReport } from '../live/outboxStore.ts'
import { containerWords, labelOf, roleWords } from './names.ts'
import { stepTitle } from './planSteps.ts'
import type { Words } from './words/catalogue.ts'

/** One report as its worker reads it back. A kind this page doesn't know stands by its name. */
export function sayAs(report: Pick<KeptReport, 'kind' | 'body'>, plan: DevicePlan, words: Words): string {
  const say = sentences[report.kind as PrecinctKind] as Say<Record<string, unknown>> | undefined
  return say ? say(report.body, plan, words) : report.kind
}

type Say<B> = (body: B, plan: DevicePlan, words: Words) => string

const more = (words: string | undefined) => (words ? `: ${words}` : '')

const sentences: { [K in PrecinctKind]?: Say<Body<K>> } = {
  TeamReported: (b, _, w) =>
    w.reported.team(
      b.present,
      b.missing.map(m => w.reported.missing(m.howMany, roleWords(m.role, w))).join(', '),
    ),
  StepCompleted: (b, plan, w) => {
    const step = plan.steps.find(s => s.code === b.step)
    return w.reported.step(step ? stepTitle(step, w) : b.step)
  },
  OpeningTapeVerified: (b, plan, w) => w.reported.tapeVerified(labelOf(plan, b.tabulator)),
  OpeningTapeRejected: (b, plan, w) =>
    w.reported.tapeRejected(labelOf(plan, b.tabulator), b.problems.map(p => w.tapeProblems[p]).join(', ')) +
    more(b.what),
  SealRecorded: (b, _, w) => {
    const what = containerWords(b.container, w)
    if (b.act === 'applied') return w.reported.sealOn(what, b.found)
    if (b.act === 'removed') return w.reported.sealOff(what, b.found)
    return w.reported.seal(what, b.found, b.state)
  },
  PollsOpened: (b, _, w) => (b.withSlot ? w.reported.openedWithSlot : w.reported.opened),
  PollsSuspended: (b, _, w) => w.reported.suspended(w.categories[b.cause]) + more(b.what),
  PollsResumed: (_b, _, w) => w.reported.resumed,
  PlaceMoved: (b, _, w) => w.reported.moved(b.to),
  NoticeAcknowledged: (_b, _, w) => w.reported.noticeRead,
  CountsReported: (b, plan, w) =>
    w.reported.counts(
      [
        ...(
          Object.entries(w.reported.countNames) as Array<[keyof Words['reported']['countNames'], string]>
        ).flatMap(([name, words]) => (b[name] === undefined ? [] : [`${words} ${b[name]}`])),
        ...Object.entries(b.publicCount ?? {}).map(([tag, n]) => `${labelOf(plan, tag)} ${n}`),
      ].join(', '),
    ),
  LineReported: (b, _, w) => w.reported.line(b.inLine, b.stationsWorking),
  EquipmentWentDown: (b, plan, w) => w.reported.down(labelOf(plan, b.equipment)) + more(b.what),
  EquipmentRestored: (b, plan, w) => w.reported.back(labelOf(plan, b.equipment)),
  EquipmentReplaced: (b, plan, w) => w.reported.replaced(labelOf(plan, b.equipment), b.by),
  EmergencySlotOpened: (_b, _, w) => w.reported.slotOpened,
  EmergencySlotLocked: (b, _, w) => w.reported.slotLocked(b.inSlot),
  SlotBallotsFed: (b, _, w) => w.reported.slotFed(b.fed, b.handCounted, b.handedOver),
  IncidentNoted: (b, _, w) => w.reported.incident(w.categories[b.category]) + more(b.what),
  SuppliesRequested: (b, _, w) => w.reported.supplies(w.reported.items[b.item], b.howMany) + more(b.what),
  BallotBoxOpened: (b, _, w) => w.reported.box(b.reason, b.byTwo) + more(b.note),
  HelpRequested: (b, _, w) =>
    w.reported.help(w.categories[b.about]) + more(b.what ?? (b.trouble && w.troubleNames[b.trouble])),
  LastVoterServed: (_b, _, w) => w.reported.lastVoter,
  PollsClosed: (b, _, w) => w.reported.closed(b.stillInLine),
  ClosingTapeSigned: (b, plan, w) => w.reported.closingTape(labelOf(plan, b.tabulator), b.publicCount),
  CountsReconciled: (b, _, w) => w.reported.reconciled + more(b.explanation),
  ReturnDeparted: (b, _, w) => w.reported.departed(b.carriers, b.seals.join(', ')),
}
