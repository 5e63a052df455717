import fc from 'fast-check'
import type { Body, PrecinctKind } from '../../server/domain/log/kinds.ts'
import { iso, type Said, says } from './given.ts'

/** Any report that a precinct may send, of each kind, with times on a grid coarse enough that they often collide. */

const time = fc
  .integer({ min: 0, max: 60 })
  .map(n => `${String(8 + Math.floor(n / 6)).padStart(2, '0')}:${(n % 6) * 10}`.replace(/:0$/, ':00'))
const asOf = time.map(iso)
const few = fc.integer({ min: 0, max: 40 })
/** Planned ones, and more unplanned ones than are kept. */
const tag = fc.oneof(
  { weight: 3, arbitrary: fc.constantFrom('T-01', 'A-01', 'T-99') },
  { weight: 1, arbitrary: fc.integer({ min: 0, max: 30 }).map(n => `X-${n}`) },
)
const optional = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: undefined })

function of<K extends PrecinctKind>(kind: K, body: fc.Arbitrary<Body<K>>) {
  return body.map(made => ({ kind, body: clean(made) }))
}

/** As JSON would carry it: what is undefined isn't there. */
function clean<T>(body: T): T {
  return JSON.parse(JSON.stringify(body))
}

const counts = {
  checkedIn: optional(few),
  inLine: optional(few),
  inSlot: optional(few),
  ballotsLeft: optional(few),
  publicCount: optional(fc.dictionary(tag, few, { maxKeys: 3 })),
}
const seen = fc.record({ is: few, asOf })

export const anyReport = fc.oneof(
  of('CountsReported', fc.record({ ...counts, asOf: optional(asOf) })),
  of('LineReported', fc.record({ inLine: few, stationsWorking: optional(few), asOf: optional(asOf) })),
  of('TeamReported', fc.record({ present: few, missing: fc.constant([]) })),
  of('StepCompleted', fc.record({ step: fc.constantFrom('ballots', 'box', 'tape', 'packed', 'coffee') })),
  of('OpeningTapeVerified', fc.record({ tabulator: tag })),
  of(
    'OpeningTapeRejected',
    fc.record({ tabulator: tag, problems: fc.constantFrom(['not-zero'], ['other']) }),
  ),
  of(
    'SealRecorded',
    fc.record({
      container: fc.constantFrom('box', 'door', 'bag'),
      found: tag,
      state: fc.constantFrom('intact' as const, 'broken' as const),
      act: optional(fc.constantFrom('applied' as const, 'removed' as const)),
    }),
  ),
  of('PollsOpened', fc.record({ withSlot: optional(fc.boolean()) })),
  of('PollsSuspended', fc.constant({ cause: 'power' as const })),
  of('PollsResumed', fc.constant({})),
  of('PollsClosed', fc.record({ stillInLine: optional(few) })),
  of('LastVoterServed', fc.constant({})),
  of('PlaceMoved', fc.constant({ cause: 'power' as const, to: 'the gym' })),
  of('EquipmentWentDown', fc.record({ equipment: tag })),
  of('EquipmentRestored', fc.record({ equipment: tag })),
  of('EquipmentReplaced', fc.record({ equipment: tag, by: tag })),
  of('EmergencySlotOpened', fc.constant({})),
  of('EmergencySlotLocked', fc.record({ inSlot: optional(few) })),
  of('SlotBallotsFed', fc.record({ fed: few, handCounted: few, handedOver: fc.constant(0) })),
  of('BallotBoxOpened', fc.constant({ reason: 'remove' as const, byTwo: true })),
  of('IncidentNoted', fc.constant({ category: 'access' as const, what: 'ramp' })),
  of(
    'SuppliesRequested',
    fc.record({ item: fc.constantFrom('pens' as const, 'workers' as const), howMany: optional(few) }),
  ),
  of(
    'HelpRequested',
    fc.record({
      about: fc.constantFrom('equipment' as const, 'power' as const),
      step: optional(fc.constantFrom('box', 'tape')),
      trouble: optional(fc.constantFrom('no-power' as const, 'box-not-empty' as const)),
    }),
  ),
  of('NoticeAcknowledged', fc.record({ notice: fc.integer({ min: 1, max: 12 }) })),
  of('ClosingTapeSigned', fc.record({ tabulator: tag, publicCount: few })),
  of(
    'CountsReconciled',
    fc.record({
      delivered: few,
      left: few,
      tabulated: few,
      inSlot: few,
      spoiled: few,
      provisional: few,
      challenged: few,
      checkedIn: few,
    }),
  ),
  of(
    'ReturnDeparted',
    fc.record({ carriers: fc.constant(2), items: fc.array(tag, { maxLength: 2 }), seals: fc.constant([]) }),
  ),
  of('ReturnReceived', fc.record({ items: fc.array(tag, { maxLength: 2 }), seals: fc.constant([]) })),
  of(
    'HeartbeatReceived',
    fc.record({
      status: optional(
        fc.record({
          polls: optional(
            fc.record({ is: fc.constantFrom('not-open', 'open', 'suspended', 'closed'), asOf }),
          ),
          tape: optional(
            fc.record({ is: fc.constantFrom('none', 'verified', 'rejected'), tabulator: tag, asOf }),
          ),
          equipmentDown: optional(fc.record({ is: fc.uniqueArray(tag, { maxLength: 3 }), asOf })),
          slot: optional(fc.record({ is: fc.constantFrom('open', 'locked'), asOf })),
          returns: optional(fc.record({ is: fc.constantFrom('not-left', 'on-its-way'), asOf })),
        }),
      ),
      counts: optional(
        fc.record({
          checkedIn: optional(seen),
          inLine: optional(seen),
          inSlot: optional(seen),
          publicCount: optional(fc.dictionary(tag, seen, { maxKeys: 2 })),
        }),
      ),
      device: optional(fc.record({ battery: optional(few), waiting: optional(few) })),
    }),
  ),
)

/** What one source said of E-01, in its own order: two devices, a caller's words and a paper's. */
export function anyVoice(
  how: { device: string } | { via: 'caller' | 'paper' },
  most: number,
): fc.Arbitrary<Said[]> {
  return fc.array(fc.tuple(anyReport, time), { maxLength: most }).map(list =>
    list.map(([{ kind, body }, t], i) => {
      const said = says('E-01', t, kind, body as never, how)
      return 'via' in how ? { ...said, source: `command:${how.via}-${i}` } : said
    }),
  )
}
