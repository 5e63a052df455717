'use client'
import { MINUTE } from '../../server/domain/time.ts'
import type { BoardState } from '../live/boardStore.ts'
import { clockWords, clockWordsToSecond, dayNow, lengthWords } from '../live/clock.ts'
import { useBoard, useDayNow, usePlan, useWallSecond } from '../live/useBoard.ts'
import { ThemeSwitch } from '../parts/themeSwitch.tsx'
import { useDesk } from './deskContext.ts'
import css from './foot.module.css'
import { FootPerson } from './footPerson.tsx'
import { printedAt, sheetReminder } from './sheetPrinted.ts'

/**
 * How the link stands, in words. Ages of the link are wall time; the instants named are day time, which is what
 * every other time on the page is.
 */
export function linkWords(
  state: Pick<BoardState, 'link' | 'clock' | 'pictureOf' | 'heardAt' | 'refused'>,
  wall: number,
  timeZone: string,
): { words: string; lost: boolean } {
  const { link, clock, pictureOf, heardAt } = state
  const kept = pictureOf === null ? '' : `, picture of ${clockWordsToSecond(pictureOf, timeZone)} kept`
  if (state.refused !== null) return { words: `no entry: ${state.refused}${kept}`, lost: true }
  if (link.is === 'connecting') return { words: 'connecting', lost: false }
  if (link.is === 'lost') {
    const since = clock === null ? '' : ` since ${clockWords(dayNow(clock, link.since), timeZone)}`
    return {
      words: `link lost${since}${kept}, ${lengthWords(wall - link.since)} ago; trying again`,
      lost: true,
    }
  }
  const heard = heardAt === null ? '' : `, heard ${lengthWords(Math.max(0, wall - heardAt))} ago`
  return {
    words: `connected${heard}${pictureOf === null ? '' : ` · picture of ${clockWordsToSecond(pictureOf, timeZone)}`}`,
    lost: false,
  }
}

/** What a picture of the record is: its instant, and the entry it reaches to with the hash that stands on paper. */
export function stillWords(
  { pictureOf, head, still }: Pick<BoardState, 'pictureOf' | 'head' | 'still'>,
  timeZone: string,
): string {
  const of = pictureOf === null ? '' : `picture of ${clockWordsToSecond(pictureOf, timeZone)}`
  const by = still === 'happened' ? 'by the log up to entry' : 'entry'
  return head === null
    ? of
    : `${of}, ${by} ${head.position.toLocaleString('en-US')}, hash ${head.hash.slice(0, 16)}`
}

export function Foot({ onKeys }: { onKeys(): void }) {
  const { day, mayAct, me } = useDesk()
  const still = useBoard(s => s.still !== undefined)
  return (
    <footer className={css.foot}>
      <p className={css.caution}>
        Operational picture. No votes, no results. Follow your state’s law, your county’s procedures and
        counsel.
      </p>
      <p className={css.tools}>
        {!still && (
          <>
            <SheetReminder day={day} />
            <a href={`/desk/sheet?day=${encodeURIComponent(day)}`} target="_blank" rel="noreferrer">
              Situation sheet
            </a>
            {mayAct && (
              <a href={`/desk/shift?day=${encodeURIComponent(day)}`} target="_blank" rel="noreferrer">
                Change of shift
              </a>
            )}
          </>
        )}
        <button type="button" className={css.tool} onClick={onKeys}>
          Keys ( ? )
        </button>
        <ThemeSwitch className={css.tool} />
      </p>
      {me.role !== undefined && <FootPerson name={me.name} role={me.role} />}
      {still ? <StillState /> : <LinkState />}
    </footer>
  )
}

function StillState() {
  const plan = usePlan()
  const state = useBoard(s => s)
  return <p>{stillWords(state, plan.timeZone)}</p>
}

/** Looked at once a minute: another window of this browser may have printed it. */
function SheetReminder({ day }: { day: string }) {
  const { timeZone } = usePlan()
  const words = sheetReminder(printedAt(day), useDayNow(MINUTE), timeZone)
  return words === null ? null : <span>{words}</span>
}

function LinkState() {
  const plan = usePlan()
  const state = useBoard(s => s)
  const wall = useWallSecond()
  const { words, lost } = linkWords(state, wall, plan.timeZone)
  const silent = useSilent()
  return (
    <p className={lost ? css.lost : css.link}>
      {silent} · {words} · entry {state.cursor.toLocaleString('en-US')}
    </p>
  )
}

function useSilent(): string {
  const silent = useBoard(s => {
    let n = 0
    for (const row of s.rows.values()) if (row.silentSince !== null) n++
    return n
  })
  return silent === 0 ? 'none silent' : `${silent} silent`
}
