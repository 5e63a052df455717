import type { Metadata } from 'next'
import { guarded } from '../../parts/guard.tsx'
import { ReceiptOf } from './receiptOf.tsx'

export const metadata: Metadata = { title: 'Receipt' }
export const dynamic = 'force-dynamic'

export default async function ReceiptPage({
  searchParams,
}: {
  searchParams: Promise<{ day?: string | string[]; precinct?: string | string[] }>
}) {
  const guard = await guarded('/receiving', 'The receipt')
  if ('instead' in guard) return guard.instead
  const { day, precinct } = await searchParams
  if (typeof day !== 'string' || typeof precinct !== 'string' || day === '' || precinct === '')
    return (
      <main style={{ padding: 20 }}>
        <p>
          A receipt is of one return: open it from <a href="/receiving">the receiving table</a>.
        </p>
      </main>
    )
  return <ReceiptOf day={day} precinct={precinct} />
}
