import type { Metadata } from 'next'
import { roleSeesContacts } from '../../../server/protocol/roles.ts'
import { guarded } from '../../parts/guard.tsx'
import { SheetOf } from './sheetOf.tsx'

export const metadata: Metadata = { title: 'Situation sheet' }
export const dynamic = 'force-dynamic'

export default async function SheetPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[] }>
}) {
  const guard = await guarded('/desk/sheet', 'The situation sheet')
  if ('instead' in guard) return guard.instead
  const { day } = await searchParams
  if (typeof day !== 'string' || day === '')
    return (
      <main style={{ padding: 20 }}>
        <p>
          The situation sheet is of one day: open it from the foot of <a href="/desk">the desk</a>.
        </p>
      </main>
    )
  return <SheetOf day={day} seesPhones={roleSeesContacts(guard.person.role)} />
}
