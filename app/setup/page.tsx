import type { Metadata } from 'next'
import { guarded } from '../parts/guard.tsx'
import { Days } from './days.tsx'
import { SetupFrame } from './frame.tsx'

export const metadata: Metadata = { title: 'Setup' }
export const dynamic = 'force-dynamic'

export default async function SetupPage() {
  const guard = await guarded('/setup', 'Setup')
  if ('instead' in guard) return guard.instead
  return (
    <SetupFrame person={guard.person} part="days">
      <Days />
    </SetupFrame>
  )
}
