'use client'
import { useEffect, useMemo, useRef, useState } from 'react'
import type { CallLine } from '../../server/domain/day/row.ts'
import { useBoard, useLink, usePlan } from '../live/useBoard.ts'
import css from './board.module.css'
import { CallerForm, EMPTY_CALL } from './caller/callerForm.tsx'
import type { CallDraft } from './caller/said.ts'
import { CallList } from './callList.tsx'
import { type Desk, DeskProvider, type OpenForm, type Panel, refusalWords } from './deskContext.ts'
import { Drawer } from './drawer.tsx'
import { drawerKey } from './errands/errandsHere.tsx'
import { Foot } from './foot.tsx'
import { Head } from './head.tsx'
import { KeysDialog, STILL_KEYS } from './keysDialog.tsx'
import { EVERYTHING, orderCalls, pick, type Wish } from './pick.ts'
import { Precincts } from './precincts.tsx'
import { Side } from './side.tsx'
import { useKeys } from './useKeys.ts'
import { useSaid } from './useSaid.ts'
import type { KeptId } from './useSendOnce.ts'

/** Moving goes on while the key is held. */
const HELD = ['j', 'k']

type Props = {
  day: string
  me: Desk['me']
  mayAct: boolean
  /** A precinct to open, from outside of the board; a fresh object asks again. */
  wanted?: { code: string } | null
}

/** The desk once it has its first picture: call list, strips, and what is open beside them. */
export function Board({ day, me, mayAct, wanted = null }: Props) {
  const plan = usePlan()
  const { store, send } = useLink()
  const [selected, setSelected] = useState<string | null>(null)
  const [panel, setPanel] = useState<Panel>('county')
  const [form, setForm] = useState<OpenForm>(null)
  const [wish, setWish] = useState<Wish>(EVERYTHING)
  const [keysShown, setKeysShown] = useState(false)
  const [drafts, setDrafts] = useState<Readonly<Record<string, CallDraft>>>({})
  const [said, tell] = useSaid()
  const taking = useRef(false)
  const kept = useRef(new Map<string, KeptId>())
  const search = useRef<HTMLInputElement>(null)
  const list = useRef<HTMLDivElement>(null)

  const desk: Desk = {
    day,
    me,
    mayAct,
    selected,
    panel,
    form,
    select: setSelected,
    open(code, which = 'precinct') {
      setSelected(code)
      setPanel(which)
      tell('')
    },
    close() {
      // From the caller's form back to its precinct, from there to the county.
      setPanel(panel === 'caller' ? 'precinct' : 'county')
      if (panel === 'precinct') list.current?.focus({ preventScroll: true })
    },
    setForm,
    send,
  }

  const keys = useMemo(() => {
    const calls = () => orderCalls(store.get().calls, me.id)
    const lineOf = (suits: (line: CallLine) => boolean) => {
      const fitting = calls().filter(l => l.precincts.length > 0 && suits(l))
      return fitting.find(l => selected !== null && l.precincts.includes(selected)) ?? fitting[0]
    }
    const move = (by: number) => () => {
      const s = store.get()
      const codes = pick(plan, s.rows, s.calls, wish)
      const at = selected === null ? -1 : codes.indexOf(selected)
      const next = codes[Math.min(codes.length - 1, Math.max(0, at + by))]
      if (next) setSelected(next)
      list.current?.focus({ preventScroll: true })
    }
    const back = () => {
      if (form) setForm(null)
      else if (document.activeElement === search.current) {
        setWish({ ...wish, search: '' })
        list.current?.focus({ preventScroll: true })
      } else if (panel !== 'county') {
        setPanel(panel === 'caller' ? 'precinct' : 'county')
        list.current?.focus({ preventScroll: true })
      }
    }
    const looking = {
      j: move(1),
      k: move(-1),
      '/': () => search.current?.focus(),
      '?': () => setKeysShown(true),
      Escape: back,
    }
    if (!mayAct) return looking
    return {
      ...looking,
      t: async () => {
        if (taking.current) return
        const line = lineOf(l => l.call.takenBy === null)
        if (!line) return tell('No call is free to take.')
        taking.current = true
        const answer = await send('TakeCall', { precincts: [...line.precincts] })
        taking.current = false
        tell(refusalWords(answer) ?? 'Taken.')
      },
      l: () => {
        const line = lineOf(l => l.call.takenBy === me.id)
        if (line) setForm({ key: line.key, form: 'log' })
        else tell('Take the call first.')
      },
      d: () => {
        const line = lineOf(l => l.call.takenBy === null)
        if (line) setForm({ key: line.key, form: 'defer' })
      },
      r: () => {
        const line = lineOf(() => true)
        // Beside the strips where the precinct is open or needs no call, else on its line.
        const onLine = line && (selected === null || line.precincts.includes(selected)) ? line : null
        if (selected && (panel !== 'county' || !onLine)) {
          setPanel('precinct')
          setForm({ key: drawerKey(selected), form: 'rover' })
        } else if (onLine) setForm({ key: onLine.key, form: 'rover' })
        else tell('Choose a precinct first.')
      },
      c: () => {
        if (selected) setPanel('caller')
        else tell('Choose a precinct first.')
      },
    }
  }, [store, send, plan, wish, selected, form, panel, mayAct, me.id, tell])
  useKeys(keys, HELD)

  function keptOf(code: string): KeptId {
    const there = kept.current.get(code) ?? { current: null }
    kept.current.set(code, there)
    return there
  }

  useEffect(() => {
    if (wanted === null) return
    setSelected(wanted.code)
    setPanel('precinct')
  }, [wanted])

  const lost = useBoard(s => s.link.is === 'lost' || s.refused !== null)
  const still = useBoard(s => s.still !== undefined)
  return (
    <DeskProvider value={desk}>
      <div className={`${css.desk} ${lost ? css.lost : ''} ${still ? css.within : ''}`}>
        <Head />
        <main className={`${css.columns} ${panel === 'county' ? '' : css.opened}`}>
          <div className={css.calls}>
            <CallList />
          </div>
          <div className={css.strips}>
            <Precincts wish={wish} onWish={setWish} search={search} list={list} />
          </div>
          <aside className={css.beside} aria-label={panel === 'county' ? 'County' : 'Precinct'}>
            <p role="status" className={css.said}>
              {said}
            </p>
            {panel === 'county' && <Side />}
            {panel === 'precinct' && selected && <Drawer key={selected} code={selected} />}
            {panel === 'caller' && selected && (
              <CallerForm
                key={selected}
                code={selected}
                draft={drafts[selected] ?? EMPTY_CALL}
                kept={keptOf(selected)}
                onDraft={draft => setDrafts(d => ({ ...d, [selected]: draft }))}
                onDone={words => {
                  setDrafts(({ [selected]: _, ...rest }) => rest)
                  setPanel('precinct')
                  tell(words)
                }}
              />
            )}
          </aside>
        </main>
        <Foot onKeys={() => setKeysShown(true)} />
        {keysShown && (
          <KeysDialog keys={still ? STILL_KEYS : undefined} onClose={() => setKeysShown(false)} />
        )}
      </div>
    </DeskProvider>
  )
}
