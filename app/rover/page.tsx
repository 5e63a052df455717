import type { Metadata } from 'next'
import { guarded } from '../parts/guard.tsx'
import { PersonBar } from '../parts/personBar.tsx'
import { RoverOf } from './rover.tsx'

export const metadata: Metadata = { title: 'Errands' }
export const dynamic = 'force-dynamic'

export default async function RoverPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[] }>
}) {
  const guard = await guarded('/rover', 'The errands page')
  if ('instead' in guard) return guard.instead
  const { day } = await searchParams
  const { id, name, role, post } = guard.person
  return (
    <>
      <PersonBar person={{ name, role }} here="/rover" />
      <RoverOf
        person={{ id, post: post ?? null }}
        wanted={typeof day === 'string' && day !== '' ? day : null}
      />
    </>
  )
}
