import type { Metadata } from 'next'
import { guarded } from '../parts/guard.tsx'
import { PersonBar } from '../parts/personBar.tsx'
import css from './review.module.css'
import { ReviewOf } from './review.tsx'

export const metadata: Metadata = { title: 'Review' }
export const dynamic = 'force-dynamic'

export default async function ReviewPage() {
  const guard = await guarded('/review', 'The review')
  if ('instead' in guard) return guard.instead
  return (
    <div className={css.page}>
      <PersonBar person={guard.person} here="/review" />
      <ReviewOf />
    </div>
  )
}
