'use client'
import { useWords } from './words/WordsContext.tsx'

export function Moment() {
  const { home } = useWords()
  return (
    <main className="pp-page">
      <p role="status">{home.loading}</p>
    </main>
  )
}
