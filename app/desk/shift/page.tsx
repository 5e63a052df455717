import type { Metadata } from 'next'
import { guarded } from '../../parts/guard.tsx'
import { ShiftOf } from './shiftOf.tsx'

export const metadata: Metadata = { title: 'Change of shift' }
export const dynamic = 'force-dynamic'

export default async function ShiftPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[] }>
}) {
  const guard = await guarded('/desk/shift', 'The hand-over sheet')
  if ('instead' in guard) return guard.instead
  const { day } = await searchParams
  if (typeof day !== 'string' || day === '')
    return (
      <main style={{ padding: 20 }}>
        <p>
          The hand-over sheet is of one day: open it from the foot of <a href="/desk">the desk</a>.
        </p>
      </main>
    )
  return <ShiftOf day={day} me={{ id: guard.person.id, name: guard.person.name }} />
}
