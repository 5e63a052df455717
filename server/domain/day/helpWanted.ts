import type { Entry } from '../log/entry.ts'
import type { Body } from '../log/kinds.ts'
import { compareStamps, later, registered } from './stamp.ts'
import { type HelpWanted, LIMITS, type PrecinctState, type Register } from './state.ts'

/** What a precinct wants by asking for help or for supplies: the one is answered like the other, by somebody. */

export function helpWanted({ about, step, trouble }: Body<'HelpRequested'>): HelpWanted {
  return { about, ...(step === undefined ? {} : { step }), ...(trouble === undefined ? {} : { trouble }) }
}

/** Standby workers are people, not supplies. */
export function suppliesWanted({ item, howMany }: Body<'SuppliesRequested'>): HelpWanted {
  const about = item === 'workers' ? 'workers' : 'supplies'
  return { about, item, ...(howMany === undefined ? {} : { howMany }) }
}

/** One request stands for each matter: asked again it is the same one, and another wipes none out. */
function matterOf({ about, trouble, item }: HelpWanted): string {
  if (trouble !== undefined && trouble !== 'other') return `trouble:${trouble}`
  return item !== undefined ? `item:${item}` : `about:${about}`
}

/** Of each matter the latest request; of more matters than are kept the latest, whatever came first. */
export function askedFor(p: PrecinctState, entry: Entry, wanted: HelpWanted) {
  const write: Register<HelpWanted> = registered(entry, wanted)
  const matter = matterOf(wanted)
  const standing = p.helpSaid.find(said => matterOf(said.is) === matter)
  if (!later(write, standing)) return
  const others = p.helpSaid.filter(said => said !== standing)
  p.helpSaid = [...others, write].sort(compareStamps).slice(-LIMITS.help)
  helpStands(p)
}

/** Help stands until a call that was logged after it was asked for: what was asked before it is answered with it. */
export function helpStands(p: PrecinctState) {
  const answeredAt = p.helpAnsweredAt
  p.help = answeredAt === null ? p.helpSaid : p.helpSaid.filter(said => said.asOf > answeredAt)
}
