'use client'
import { lazy, Suspense, useEffect, useMemo, useState } from 'react'
import { enrol, type Identity } from '../live/deviceEnrol.ts'
import { askToPersist, type Here, openHere } from '../live/deviceHere.ts'
import {
  changeEnrolments,
  type Enrolment,
  enrolledAlso,
  placeConfirmed,
  readEnrolments,
  servedNow,
  takenOff,
} from '../live/enrolments.ts'
import { FIRST_DATABASE } from '../live/outboxIdb.ts'
import { Enrol } from './Enrol.tsx'
import { Moment } from './Moment.tsx'
import { startOfflineHere } from './useOffline.ts'
import { whenIdle } from './whenIdle.ts'
import { WordsProvider } from './words/WordsContext.tsx'

/** All that an enrolled tablet needs comes after the enrolment form. */
const loadServed = () => import('./Served.tsx').then(({ Served }) => ({ default: Served }))
const Served = lazy(loadServed)
/** Asked for again where it is drawn, and told there if it failed. */
const loadAhead = () => void loadServed().catch(() => undefined)

/** Who this tablet is decides what is shown: nobody yet (enrol), or the page of its precincts. */
export function PrecinctApp() {
  const [first, setFirst] = useState<Here | null>(null)
  const [all, setAll] = useState<readonly Enrolment[]>([])
  const [shown, setShown] = useState<string | null>(null)
  const [unkept, setUnkept] = useState(false)
  const [openOnce] = useState(opener)

  useEffect(() => {
    startOfflineHere()
    const letters = () => document.documentElement.setAttribute('data-letters', '')
    // Stored on the device they cost nothing; else they would come before the script.
    if (navigator.serviceWorker?.controller) letters()
    else whenIdle(letters)
  }, [])
  useEffect(() => {
    let gone = false
    void openOnce(FIRST_DATABASE).then(async here => {
      const known = await readEnrolments(here.keep).catch(() => [])
      const last = await here.keep.read<string>('shown').catch(() => undefined)
      if (gone) return
      if (servedNow(known).length > 0) loadAhead()
      else whenIdle(loadAhead)
      setAll(known)
      setShown(last ?? null)
      setFirst(here)
    })
    return () => {
      gone = true
    }
  }, [openOnce])

  const served = useMemo(() => servedNow(all), [all])
  if (!first)
    return (
      <WordsProvider keep={null}>
        <Moment />
      </WordsProvider>
    )

  async function change(how: (all: readonly Enrolment[]) => Enrolment[]) {
    const next = await changeEnrolments(first!.keep, how).catch(() => {
      setUnkept(true)
      return how(all)
    })
    setAll(next)
  }
  function show(device: string) {
    setShown(device)
    // Only a convenience: what is shown says itself which precinct it is.
    first!.keep.write('shown', device).catch(() => undefined)
  }
  function enrolled(identity: Identity, instead: string | null) {
    void askToPersist()
    show(identity.device)
    void change(now => enrolledAlso(now, identity, instead))
  }

  if (served.length === 0)
    return (
      <WordsProvider keep={first.keep}>
        <div className="pp">
          <Enrol
            enrol={(code, label) => enrol(code, label)}
            onEnrolled={identity => enrolled(identity, null)}
          />
        </div>
      </WordsProvider>
    )
  return (
    <WordsProvider keep={first.keep}>
      <Suspense fallback={<Moment />}>
        <Served
          served={served}
          unkept={unkept}
          openOnce={openOnce}
          shown={shown}
          show={show}
          onEnrolled={enrolled}
          takeOff={device => void change(now => takenOff(now, device))}
          confirmPlace={device => void change(now => placeConfirmed(now, device))}
        />
      </Suspense>
    </WordsProvider>
  )
}

/** Opens each database once, also where it is only memory: what waits there is found again. */
function opener(): (database: string) => Promise<Here> {
  const opened = new Map<string, Promise<Here>>()
  return database => {
    const known = opened.get(database) ?? openHere(database)
    opened.set(database, known)
    return known
  }
}
