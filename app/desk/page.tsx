import type { Metadata } from 'next'
import { currentPerson } from '../../server/access/session.ts'
import { SignInFirst } from '../parts/signInFirst.tsx'
import { DeskOf } from './desk.tsx'

export const metadata: Metadata = { title: 'Desk' }
export const dynamic = 'force-dynamic'

export default async function DeskPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[] }>
}) {
  const person = await currentPerson()
  if (person === null) return <SignInFirst what="The desk" />
  const { day } = await searchParams
  return <DeskOf person={person} wanted={typeof day === 'string' && day !== '' ? day : null} />
}
