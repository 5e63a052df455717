'use client'
import type { PageState } from '../pageState.ts'
import { useWords } from '../words/WordsContext.tsx'

type Props = { page: PageState; timeOf(at: string): string }

/** The end of the day: what happens on the way, and once the materials are received thanks and what went. */
export function AfterLeaving({ page, timeOf }: Props) {
  const words = useWords()
  const { returning: W } = words
  const left = page.left
  const itemWords = (item: string) =>
    Object.hasOwn(W.list, item) ? W.list[item as keyof typeof W.list] : item
  return (
    <section className="pp-section" aria-labelledby="pp-left">
      <h2 id="pp-left">{page.received ? W.thanks : W.nextTitle}</h2>
      {page.received ? (
        <p className="pp-line">{W.thanksHelp}</p>
      ) : (
        [W.straight, W.stay, W.receipt, W.late].map(line => (
          <p key={line} className="pp-line">
            {line}
          </p>
        ))
      )}
      {left && (
        <>
          <p className="pp-soft">{W.youSaid}</p>
          <ul className="pp-list">
            <li>{W.leftAt(timeOf(left.at))}</li>
            <li>{W.leftWith(left.is.carriers)}</li>
            {left.is.items.length > 0 && <li>{W.leftItems(left.is.items.map(itemWords).join(', '))}</li>}
            {left.is.seals.length > 0 && <li>{W.leftSeals(left.is.seals.join(', '))}</li>}
          </ul>
        </>
      )}
    </section>
  )
}
