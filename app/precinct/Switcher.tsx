'use client'
import { amissWith, deviceOf, type Line, nameOf } from './lines.ts'
import { useWords } from './words/WordsContext.tsx'

type Props = { lines: readonly Line[]; shown: Line; show(device: string): void }

/** The precincts of this tablet, each with what waits; then, in words, what is amiss with one that is not shown. */
export function Switcher({ lines, shown, show }: Props) {
  const words = useWords()
  const { several: W } = words
  const troubled = lines.flatMap(line => {
    const amiss = amissWith(line, lines, words)
    if (line === shown || amiss.length === 0) return []
    const { waiting } = line.link.outbox.state()
    const what = waiting > 0 ? [W.waiting(waiting), ...amiss] : amiss
    return [{ device: deviceOf(line), said: W.trouble(nameOf(line), what) }]
  })
  return (
    <div className="pp-several">
      <nav className="pp-switch" aria-label={W.serves}>
        {lines.map(line => (
          <Choice
            key={deviceOf(line)}
            line={line}
            amiss={amissWith(line, lines, words).length > 0}
            current={line === shown}
            show={show}
          />
        ))}
      </nav>
      <ul aria-live="polite">
        {troubled.map(({ device, said }) => (
          <li key={device}>{said}</li>
        ))}
      </ul>
    </div>
  )
}

type ChoiceProps = { line: Line; amiss: boolean; current: boolean; show(device: string): void }

function Choice({ line, amiss, current, show }: ChoiceProps) {
  const { several: W } = useWords()
  const { waiting } = line.link.outbox.state()
  return (
    <button
      type="button"
      aria-current={current ? 'true' : undefined}
      onClick={() => {
        if (!current) show(deviceOf(line))
      }}
    >
      <span className="pp-switch-name">
        {amiss && <Mark />}
        {nameOf(line)}
      </span>
      {waiting > 0 && <span className="pp-switch-waiting">{W.waiting(waiting)}</span>}
      {amiss && <span className="vh">, {W.needsYou}</span>}
    </button>
  )
}

/** Something here needs a look. */
function Mark() {
  return (
    <svg width="16" height="16" viewBox="0 0 12 12" aria-hidden="true">
      <path d="M6 0.8L11.6 11H0.4z" fill="none" stroke="currentColor" strokeWidth="1.4" />
      <path d="M6 4.4v3M6 8.6v1" stroke="currentColor" strokeWidth="1.4" />
    </svg>
  )
}
