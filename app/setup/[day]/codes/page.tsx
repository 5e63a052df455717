import type { Metadata } from 'next'
import { guarded } from '../../../parts/guard.tsx'
import { CodesSheet } from './codesSheet.tsx'

export const metadata: Metadata = { title: 'Enrolment codes' }
export const dynamic = 'force-dynamic'

export default async function CodesPage({ params }: { params: Promise<{ day: string }> }) {
  const guard = await guarded('/setup', 'Setup')
  if ('instead' in guard) return guard.instead
  const { day } = await params
  return <CodesSheet day={decodeURIComponent(day)} />
}
