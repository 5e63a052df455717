'use client'
import { keptAside, toMend } from './keptAside.ts'
import { problemWords } from './problemWords.ts'
import { dayTimeOf, type Session, timeWords } from './session.ts'
import { loadAgain, useOffline } from './useOffline.ts'
import { useWords } from './words/WordsContext.tsx'

type Props = {
  session: Session
  go(screen: string): void
  /** New notices that another screen has; they are read at the start. */
  notices?: number
}

/**
 * What the office knows, on top of every screen: whether everything reached it and when it last heard this
 * device. Trouble of this device stands right under it, in words.
 */
export function OfficeLine({ session, go, notices = 0 }: Props) {
  const words = useWords()
  const { office: W, offline: O, notices: N } = words
  const offline = useOffline()
  const { link, box } = session
  const phone = link.plan?.officePhone ?? ''
  const last = link.lastHeard === null ? null : timeWords(link, link.lastHeard)
  const mend = toMend(box)
  const aside = box.reports.some(keptAside)
  return (
    <div className="pp-office">
      <div className="pp-known">
        <p
          role="status"
          className={aside || box.waiting > 0 || link.link !== 'up' ? 'pp-waiting' : undefined}
        >
          <OfficeSign waiting={aside || box.waiting > 0} up={link.link === 'up'} />
          {aside
            ? W.aside(phone)
            : box.again > 0
              ? W.again(box.again)
              : box.waiting > 0
                ? W.waiting(box.waiting, last)
                : W.hasAll(last)}
        </p>{' '}
        {offline === 'ready' && !session.unsafe && <p className="pp-note">{O.ready}</p>}
      </div>
      {link.link === 'down' && (
        <p className="pp-note">
          {W.down(timeWords(link, dayTimeOf(link, new Date(link.since).toISOString())))}
        </p>
      )}
      {link.link === 'connecting' && <p className="pp-note">{W.connecting}</p>}
      {link.link === 'too-old' && (
        <p className="pp-note">
          {W.tooOld}{' '}
          <button type="button" className="pp-link" onClick={loadAgain}>
            {W.reload}
          </button>
        </p>
      )}
      {box.trouble?.what === 'gap' && <Trouble words={W.gap(box.trouble.wanted, box.trouble.holds, phone)} />}
      {box.trouble?.what === 'turned-away' && !link.dayClosed && (
        <Trouble words={W.turnedAway(box.trouble.problems.map(p => problemWords(p, words)).join(' '))} />
      )}
      {(box.trouble?.what === 'storage' || link.keepTrouble) && <Trouble words={W.storage} />}
      {session.unsafe && <Trouble words={W.unsafe} />}
      {(offline === 'impossible' || offline === 'failed') && <p className="pp-note">{O.onlyOpen}</p>}
      {link.dayClosed && <Trouble words={W.dayClosed(box.waiting)} />}
      {aside && <Trouble words={words.problems.replaced} />}
      {notices > 0 && (
        <button type="button" className="pp-link" onClick={() => go('')}>
          {N.waiting(notices)}
        </button>
      )}
      {mend + box.leftovers.length > 0 && (
        <button type="button" className="pp-link pp-trouble" onClick={() => go('said')}>
          {mend > 0 ? W.refused(mend) : W.leftovers(box.leftovers.length)}
        </button>
      )}
    </div>
  )
}

function Trouble({ words }: { words: string }) {
  return (
    <p className="pp-trouble" role="alert">
      {words}
    </p>
  )
}

/** A tick: the office has everything. A broken ring: no connection. A full dot: something waits. */
function OfficeSign({ waiting, up }: { waiting: boolean; up: boolean }) {
  return (
    <svg
      width="20"
      height="20"
      viewBox="0 0 12 12"
      aria-hidden="true"
      fill="none"
      stroke="currentColor"
      strokeWidth="1.6"
    >
      {!up ? (
        <circle cx="6" cy="6" r="4.4" strokeDasharray="2 2.6" />
      ) : waiting ? (
        <circle cx="6" cy="6" r="3.6" fill="currentColor" />
      ) : (
        <path d="M1.5 6.5l3 3l6 -7" />
      )}
    </svg>
  )
}
