import type { Metadata } from 'next'
import { guarded } from '../../parts/guard.tsx'
import { SetupFrame } from '../frame.tsx'
import { Changes } from './changes.tsx'
import { People } from './people.tsx'
import { Tokens } from './tokens.tsx'

export const metadata: Metadata = { title: 'People' }
export const dynamic = 'force-dynamic'

export default async function PeoplePage() {
  const guard = await guarded('/setup', 'Setup')
  if ('instead' in guard) return guard.instead
  return (
    <SetupFrame person={guard.person} part="people">
      <People me={guard.person.id} />
      <Tokens />
      <Changes />
    </SetupFrame>
  )
}
