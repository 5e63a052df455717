import type { Metadata } from 'next'
import { guarded } from '../parts/guard.tsx'
import { DeskOf } from './desk.tsx'

export const metadata: Metadata = { title: 'Desk' }
export const dynamic = 'force-dynamic'

export default async function DeskPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[] }>
}) {
  const guard = await guarded('/desk', 'The desk')
  if ('instead' in guard) return guard.instead
  const { day } = await searchParams
  return <DeskOf person={guard.person} wanted={typeof day === 'string' && day !== '' ? day : null} />
}
