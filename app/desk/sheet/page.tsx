import type { Metadata } from 'next'
import { currentPerson } from '../../../server/access/session.ts'
import { SignInFirst } from '../../parts/signInFirst.tsx'
import { SheetOf } from './sheetOf.tsx'

export const metadata: Metadata = { title: 'Situation sheet' }
export const dynamic = 'force-dynamic'

export default async function SheetPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[] }>
}) {
  const person = await currentPerson()
  if (person === null) return <SignInFirst what="The situation sheet" />
  const { day } = await searchParams
  if (typeof day !== 'string' || day === '')
    return (
      <main style={{ padding: 20 }}>
        <p>
          The situation sheet is of one day: open it from the foot of <a href="/desk">the desk</a>.
        </p>
      </main>
    )
  return <SheetOf day={day} seesPhones={person.role !== 'rover'} />
}
