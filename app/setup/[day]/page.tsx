import type { Metadata } from 'next'
import { guarded } from '../../parts/guard.tsx'
import { SetupFrame } from '../frame.tsx'
import { DayPage } from './day.tsx'

export const metadata: Metadata = { title: 'A day' }
export const dynamic = 'force-dynamic'

export default async function SetupDayPage({ params }: { params: Promise<{ day: string }> }) {
  const guard = await guarded('/setup', 'Setup')
  if ('instead' in guard) return guard.instead
  const { day } = await params
  return (
    <SetupFrame person={guard.person} part="days">
      <DayPage day={decodeURIComponent(day)} />
    </SetupFrame>
  )
}
