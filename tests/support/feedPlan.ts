import { checkPlan } from '../../server/domain/plan/check.ts'
import { faultLine } from '../../server/domain/plan/checkFault.ts'
import { type PlanFromFeed, planFromFeed } from '../../server/domain/plan/fromFeed.ts'
import type { FeedOptions } from '../../server/domain/plan/fromFeedShape.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { readFeedStream } from '../../server/vip/readFeed.ts'

export type MadePlan = PlanFromFeed & {
  plan: Plan
  /** Names of the precincts of an assumption or of what was left out; null: it isn't listed. */
  assumed(about: string): { what: string; precincts: number; names: string[] } | null
  left(what: string): string[] | null
}

/** The plan that a feed's text makes, checked; or why it is refused. */
export async function planOf(
  xml: string | Iterable<string>,
  options: Partial<FeedOptions> = {},
): Promise<MadePlan | { refusal: string }> {
  async function* bytes(): AsyncGenerator<Uint8Array> {
    for (const piece of typeof xml === 'string' ? [xml] : xml) yield Buffer.from(piece)
  }
  const read = await readFeedStream('feed', bytes())
  if ('refusal' in read) return read
  const made = planFromFeed(read.feed, {
    kind: 'practice',
    locality: null,
    date: null,
    zone: null,
    ...options,
  })
  if ('refusal' in made) return made
  const checked = checkPlan(made.files)
  if ('faults' in checked) throw new Error(checked.faults.map(faultLine).join('\n'))
  return {
    ...made,
    plan: checked.plan,
    assumed: about => made.assumptions.find(a => a.about === about) ?? null,
    left: what => made.leftOut.find(l => l.what === what)?.names ?? null,
  }
}

export async function goodPlanOf(
  xml: string | Iterable<string>,
  options: Partial<FeedOptions> = {},
): Promise<MadePlan> {
  const made = await planOf(xml, options)
  if ('refusal' in made) throw new Error(made.refusal)
  return made
}
