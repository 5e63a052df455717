import type { Metadata } from 'next'
import { guarded } from '../parts/guard.tsx'
import { PersonBar } from '../parts/personBar.tsx'
import { ReceivingOf } from './receiving.tsx'

export const metadata: Metadata = { title: 'Receiving' }
export const dynamic = 'force-dynamic'

export default async function ReceivingPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[] }>
}) {
  const guard = await guarded('/receiving', 'Receiving')
  if ('instead' in guard) return guard.instead
  const { day } = await searchParams
  const { name, role, post } = guard.person
  return (
    <>
      <PersonBar person={{ name, role }} here="/receiving" />
      <ReceivingOf
        wanted={typeof day === 'string' && day !== '' ? day : null}
        post={role === 'receiving' ? (post ?? null) : null}
      />
    </>
  )
}
