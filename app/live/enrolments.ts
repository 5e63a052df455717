import type { Identity } from './deviceEnrol.ts'
import type { DeviceKeep } from './deviceKeep.ts'
import { FIRST_DATABASE } from './outboxIdb.ts'

/**
 * The precincts that this tablet serves. Each enrolment is a device of its own, with its own key, numbers and
 * database: what is said for one precinct never stands among another's (P14). One that has ended stays listed,
 * so that an enrolment for the same precinct finds again what still waits in its database.
 */
export type Enrolment = {
  identity: Identity
  /** The name of its database. */
  database: string
  /** It was taken off this tablet, or another came in its place. */
  ended?: true
  /** Its precinct is at another place than the others', and somebody said that this tablet is there. */
  placeConfirmed?: true
}

/** Ended ones beyond so many are forgotten, the oldest first. */
const ENDED_KEPT = 20

export function servedNow(all: readonly Enrolment[]): Enrolment[] {
  return all.filter(e => !e.ended)
}

/**
 * The list after an enrolment.
 *
 * @param instead Device whose place it takes, because the office no longer accepts that one.
 */
export function enrolledAlso(
  all: readonly Enrolment[],
  identity: Identity,
  instead: string | null,
): Enrolment[] {
  const same = all.findLast(e => e.identity.day === identity.day && e.identity.precinct === identity.precinct)
  const replaced = all.find(e => e.identity.device === instead)
  const database =
    (same ?? replaced)?.database ??
    (all.length === 0 ? FIRST_DATABASE : `${FIRST_DATABASE}-${identity.device}`)
  const fresh: Enrolment = {
    identity,
    database,
    ...(same?.placeConfirmed ? { placeConfirmed: true } : {}),
  }
  // It stands where the one before stood, so that no button moves under a thumb.
  const at = all.findIndex(e => e === replaced || e === same)
  const next = all.flatMap((e, i) => {
    const gone = e === same ? [] : [e === replaced ? endedOf(e) : e]
    return i === at ? [fresh, ...gone] : gone
  })
  if (at < 0) next.push(fresh)
  return lessEnded(next)
}

export function takenOff(all: readonly Enrolment[], device: string): Enrolment[] {
  return lessEnded(all.map(e => (e.identity.device === device ? endedOf(e) : e)))
}

export function placeConfirmed(all: readonly Enrolment[], device: string): Enrolment[] {
  return all.map(e => (e.identity.device === device ? { ...e, placeConfirmed: true } : e))
}

function endedOf(e: Enrolment): Enrolment {
  return { ...e, ended: true }
}

function lessEnded(all: Enrolment[]): Enrolment[] {
  const tooMany = all.filter(e => e.ended).length - ENDED_KEPT
  let left = 0
  return tooMany <= 0 ? all : all.filter(e => !e.ended || ++left > tooMany)
}

/** What is kept, in the first database. A tablet enrolled before there could be several has its identity alone. */
export async function readEnrolments(keep: DeviceKeep): Promise<Enrolment[]> {
  const list = await keep.read<Enrolment[]>('enrolments')
  if (list) return list
  const only = await keep.read<Identity>('identity')
  return only ? [{ identity: only, database: FIRST_DATABASE }] : []
}

/** Changes the list as it is kept now, so that another tab's enrolment is not lost. */
export async function changeEnrolments(
  keep: DeviceKeep,
  change: (all: readonly Enrolment[]) => Enrolment[],
): Promise<Enrolment[]> {
  const next = change(await readEnrolments(keep))
  await keep.write('enrolments', next)
  return next
}
