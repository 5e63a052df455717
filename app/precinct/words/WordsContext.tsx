'use client'
import { createContext, type ReactNode, useContext, useEffect, useMemo, useState } from 'react'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import type { DeviceKeep } from '../../live/deviceKeep.ts'
import { catalogue, type Language, type Words } from './catalogue.ts'
import { wordsOf } from './wordsOf.ts'

type Spoken = readonly [language: Language, set: (language: Language) => void]

const LanguageContext = createContext<Spoken>(['en', () => undefined])
const TitlesContext = createContext<DevicePlan['titles']>(undefined)

/**
 * The language of the page: the one chosen on this tablet, kept there; before anybody chose, the browser's.
 *
 * @param keep Of the tablet's first database; null: not opened yet.
 */
export function WordsProvider({ keep, children }: { keep: DeviceKeep | null; children: ReactNode }) {
  const [language, setLanguage] = useState<Language>('en')
  useEffect(() => {
    if (!keep) return setLanguage(ofBrowser())
    let gone = false
    void keep
      .read<string>('language')
      .catch(() => undefined)
      .then(kept => {
        if (!gone) setLanguage(kept === 'en' || kept === 'es' ? kept : ofBrowser())
      })
    return () => {
      gone = true
    }
  }, [keep])
  useEffect(() => {
    const root = document.documentElement
    const before = root.lang
    root.lang = language
    return () => {
      root.lang = before
    }
  }, [language])
  const spoken = useMemo<Spoken>(
    () => [
      language,
      chosen => {
        setLanguage(chosen)
        // Not kept: the page is in the browser's language again after it is loaded anew.
        keep?.write('language', chosen).catch(() => undefined)
      },
    ],
    [language, keep],
  )
  return <LanguageContext value={spoken}>{children}</LanguageContext>
}

function ofBrowser(): Language {
  return navigator.languages[0]?.toLowerCase().startsWith('es') ? 'es' : 'en'
}

/** The titles of the county whose precinct is shown. */
export function TitlesProvider({ titles, children }: { titles: DevicePlan['titles']; children: ReactNode }) {
  return <TitlesContext value={titles}>{children}</TitlesContext>
}

function useLanguage(): Spoken {
  return useContext(LanguageContext)
}

export function useWords(): Words {
  const [language] = useLanguage()
  return wordsOf(language, useContext(TitlesContext)?.[language])
}

/** The way to the other language, named in that language. */
export function LanguageSwitch() {
  const [language, set] = useLanguage()
  const other = language === 'en' ? 'es' : 'en'
  return (
    <button type="button" className="pp-language" lang={other} onClick={() => set(other)}>
      {catalogue[other].language.name}
    </button>
  )
}
