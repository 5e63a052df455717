import type { Chain } from '../../custody/chain.ts'
import { againstOf, chainIn } from '../../custody/custody.ts'
import { own } from '../../day/bounded.ts'
import { type Instant, MINUTE } from '../../time.ts'
import { ASSUMED, comingSoon } from '../atRisk.ts'
import type { Rule } from '../condition.ts'

/** What must be explained before anybody goes on: an opening tape that isn't right, a seal that isn't the planned one. */

/**
 * An opening tape was rejected and not verified since, and the tabulator wasn't replaced. Never a reason to keep
 * polls shut: at risk is only what the slot costs the voters. It holds until somebody says otherwise.
 */
export const tapeRejected: Rule = {
  rule: 'tape-rejected',
  subjects: p => Object.keys(p.tapes),
  test(p, ctx, tabulator) {
    const tape = own(p.tapes, tabulator)
    if (tape?.is.is !== 'rejected' || own(p.replaced, tabulator) !== undefined) return null
    return {
      since: tape.asOf,
      risk: comingSoon(ctx, ASSUMED.slotMinutes),
      evidence: {
        tabulator,
        problems: [...tape.is.problems],
        slotOpen: p.slot?.is === 'open',
        rejectedAt: tape.asOf,
      },
    }
  },
}

/** A box that was opened while people vote is sealed anew within so long; straightening ballots takes minutes. */
const SEALED_AGAIN_WITHIN = 15 * MINUTE

/**
 * A seal is broken, missing, or has a number that is against expectation: expected is the number that was put on last,
 * else the plan's (custody/chain.ts), so that a seal that was taken off and replaced is no difference. Numbers are
 * compared without spaces and case: people write them by hand. Nobody waits for it; the tier alone ranks it. It holds
 * until it is recorded anew.
 *
 * Also (common practice): a box that had a seal, was opened while the polls are open, and has no new one a quarter of
 * an hour later. Until then the people at it are at work. Once the polls are closed it is opened to be emptied, and
 * what was not sealed is for its chain to show.
 */
export const sealDifferent: Rule = {
  rule: 'seal-different',
  subjects: p => [...new Set(p.sealWork.map(work => work.container))],
  test(p, ctx, container) {
    const chain = chainIn(p, ctx.at, container)
    if (chain.wrong) {
      const { at, number, state, act } = chain.wrong.link
      return {
        since: at,
        risk: null,
        evidence: {
          container,
          planned: againstOf(chain, ctx.at),
          found: number ?? '',
          state,
          recordedAt: at,
          ...(act === 'found' ? {} : { act }),
        },
      }
    }
    const openSince = openedInVoting(chain, p)
    if (openSince === null || ctx.now < openSince + SEALED_AGAIN_WITHIN) return null
    return {
      since: openSince + SEALED_AGAIN_WITHIN,
      risk: null,
      evidence: { container, state: 'open', recordedAt: openSince },
    }
  },
}

function openedInVoting({ openSince, links }: Chain, p: Parameters<Rule['test']>[0]): Instant | null {
  if (openSince === null || p.openedAt === null || p.closedAt !== null || openSince < p.openedAt) return null
  return links.some(link => link.act === 'opened' && link.at >= openSince) ? openSince : null
}
