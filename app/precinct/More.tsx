'use client'
import type { Action, Group } from './actions.ts'
import { Big } from './Lists.tsx'
import { useWords } from './words/WordsContext.tsx'

const GROUPS: readonly Group[] = ['people', 'machines', 'ballots', 'room', 'office']

/** Everything that can be reported and isn't among what is next, under headings. */
export function More({ actions, go }: { actions: readonly Action[]; go(screen: string): void }) {
  const { home: W, several } = useWords()
  return (
    <>
      {GROUPS.map(group => {
        const own = actions.filter(a => a.group === group)
        if (own.length === 0) return null
        return (
          <section key={group} className="pp-section" aria-labelledby={`pp-more-${group}`}>
            <h3 id={`pp-more-${group}`}>{W.groups[group]}</h3>
            <div className="pp-grid">
              {own.map(a => (
                <Big key={a.screen} title={a.title} note={a.note} now={a.now} onClick={() => go(a.screen)} />
              ))}
            </div>
          </section>
        )
      })}
      <button type="button" className="pp-quiet" onClick={() => go('another')}>
        {several.another}
      </button>
    </>
  )
}
