import type { PrecinctState } from '../day/state.ts'
import type { PlannedIn } from '../plan/brief.ts'
import type { Work } from './chain.ts'
import { custodyOf } from './custody.ts'

/** Seal work as devices are told of it: in order of time, without who said it. */
export function sealWorkOf(p: Pick<PrecinctState, 'sealWork'>): Array<Work & { container: string }> {
  return p.sealWork.map(({ asOf: at, container, act, seal: number, state }) => ({
    at,
    container,
    act,
    number,
    state,
  }))
}

/** Containers whose seal is wrong now: different, broken or missing. */
export function sealsWrong(
  p: Pick<PrecinctState, 'sealWork' | 'departed' | 'received'>,
  planned: PlannedIn,
): string[] {
  return custodyOf(p, planned)
    .filter(chain => chain.wrong !== null)
    .map(chain => chain.container)
}
