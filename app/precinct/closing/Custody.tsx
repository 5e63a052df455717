'use client'
import type { Chain, Link } from '../../../server/domain/custody/chain.ts'
import { plainSeal } from '../../../server/domain/returns/plainSeal.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { chainHere, containersHere, expectedNext } from '../custodyHere.ts'
import { Frame } from '../Lists.tsx'
import { containerWords } from '../names.ts'
import type { PageState } from '../pageState.ts'
import { useWords } from '../words/WordsContext.tsx'
import css from './custody.module.css'

type Props = {
  plan: DevicePlan
  page: PageState
  time(at: number): string
  /** Day time of a moment by this device's clock (RFC 3339). */
  dayOf(at: string): number
  go(screen: string): void
  leave(): void
}

const NONE: ReadonlySet<string> = new Set()

/** Each container with what is on record of its seals, and the ways to add to it. Expected numbers are not shown. */
export function Custody({ plan, page, time, dayOf, go, leave }: Props) {
  const words = useWords()
  const { custody: W } = words
  const left = page.left ? { at: dayOf(page.left.at), seals: page.left.is.seals } : undefined
  return (
    <Frame title={W.title} lead={W.lead} leave={leave}>
      {containersHere(plan, page.sealWork).map(container => {
        const whole = chainHere(
          plan,
          page.sealWork,
          container,
          one => (one.here ? dayOf(one.at) : fromRfc3339(one.at)),
          left,
        )
        // Until the polls open there is still time to look.
        const gaps = whole.gaps.filter(gap => gap !== 'not-looked-at' || page.polls !== 'not-open')
        const chain = { ...whole, gaps }
        const to = (flow: string) => () => go(`flow/${flow}/${encodeURIComponent(container)}`)
        const name = containerWords(container, words)
        return (
          <section key={container} className={css.container} aria-label={name}>
            <h2>{name}</h2>
            <Links chain={chain} time={time} kept={page.departed ? NONE : expectedNext(whole)} />
            <div className={css.ways}>
              <button type="button" className="pp-quiet" onClick={to('seal-on')}>
                {W.on}
              </button>
              <button type="button" className="pp-quiet" onClick={to('seal-off')}>
                {W.off}
              </button>
              <button type="button" className="pp-quiet" onClick={to('seal')}>
                {W.look}
              </button>
            </div>
          </section>
        )
      })}
    </Frame>
  )
}

type LinksProps = {
  chain: Chain
  time(at: number): string
  /** Numbers that are not shown: the next look is to be read from the seal. */
  kept: ReadonlySet<string>
}

function Links({ chain, time, kept }: LinksProps) {
  const { custody: W } = useWords()
  const fine = chain.gaps.length === 0 && chain.links.every(link => link.gaps.length === 0)
  return (
    <>
      {chain.links.length === 0 && <p className="pp-soft">{W.nothing}</p>}
      <ul className={css.links}>
        {chain.links.map((link, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a chain only grows at its end, and two links may be alike
          <li key={index}>
            <span className="pp-time">{time(link.at)}</span> <Act link={link} kept={kept} />
            {link.gaps.map(gap => (
              <strong key={gap} className={css.gap}>
                {W.gaps[gap]}
              </strong>
            ))}
          </li>
        ))}
      </ul>
      {chain.gaps.map(gap => (
        <p key={gap} className={css.gap}>
          {W.gaps[gap]}
        </p>
      ))}
      {fine && chain.links.length > 0 && <p className="pp-soft">{W.fine}</p>}
    </>
  )
}

function Act({ link: { act, number }, kept }: { link: Link } & Pick<LinksProps, 'kept'>) {
  const { custody: W } = useWords()
  if (act === 'opened') return <span>{W.acts.opened}</span>
  if (number === null) return <span>{W.acts[act](W.noNumber)}</span>
  return <span>{W.acts[act](kept.has(plainSeal(number)) ? W.onRecord : number)}</span>
}
