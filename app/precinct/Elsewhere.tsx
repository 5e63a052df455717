'use client'
import { focusOnce } from './focusOnce.ts'
import { type Line, nameOf } from './lines.ts'
import { LanguageSwitch, useWords } from './words/WordsContext.tsx'

type Props = { line: Line; others: readonly Line[]; confirm(): void; takeOff(): void }

/** Asked before anything can be said for a precinct that is at another place than the rest. */
export function Elsewhere({ line, others, confirm, takeOff }: Props) {
  const { several: W } = useWords()
  return (
    <main className="pp-page">
      <LanguageSwitch />
      <h1 ref={focusOnce} tabIndex={-1}>
        {W.elsewhere(nameOf(line))}
      </h1>
      {[line, ...others].map(l => (
        <p key={l.enrolment.identity.device} className="pp-line">
          {W.places(nameOf(l), l.link.state().plan?.precinct.place ?? '')}
        </p>
      ))}
      <button type="button" className="pp-go" onClick={confirm}>
        {W.isThere}
      </button>
      <button type="button" className="pp-quiet" onClick={takeOff}>
        {W.isNotThere}
      </button>
      <p className="pp-help">{W.isNotThereHelp(line.link.state().plan?.officePhone ?? '')}</p>
    </main>
  )
}
