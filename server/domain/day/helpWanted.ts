import type { Body } from '../log/kinds.ts'
import type { HelpWanted } from './state.ts'

/** What a precinct wants by asking for help or for supplies: the one is answered like the other, by somebody. */

export function helpWanted({ about, step, trouble }: Body<'HelpRequested'>): HelpWanted {
  return { about, ...(step === undefined ? {} : { step }), ...(trouble === undefined ? {} : { trouble }) }
}

/** Standby workers are people, not supplies. */
export function suppliesWanted({ item, howMany }: Body<'SuppliesRequested'>): HelpWanted {
  const about = item === 'workers' ? 'workers' : 'supplies'
  return { about, item, ...(howMany === undefined ? {} : { howMany }) }
}
