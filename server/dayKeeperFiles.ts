import { existsSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import type { Instant } from './domain/time.ts'
import { keep, readKept } from './keptFile.ts'

/**
 * What this machine keeps of a simulated practice day, in files of mode 0600: the tablets' codes or keys, the
 * trainer's orders, and up to where the morning is still to be played. Without them its tablets can't go on.
 */
export type PracticeFiles = {
  /** The simulator writes it: seed/simulator/keys.ts. */
  tablets: string
  /** The simulator writes it: seed/simulator/orders.ts. */
  orders: string
  hasTablets(): boolean
  keepCodes(codes: Record<string, { code: string }>): void
  morningUntil(): Instant | null
  keepMorning(until: Instant | null): void
  remove(): void
}

export function practiceFiles(keptFolder: string, day: string): PracticeFiles {
  const path = (what: string) =>
    join(keptFolder, 'practice', `${day.replace(/[^a-z0-9-]/g, '_')}.${what}.json`)
  const [tablets, orders, morning] = [path('tablets'), path('orders'), path('morning')]
  return {
    tablets,
    orders,
    hasTablets: () => existsSync(tablets),
    keepCodes: codes => keep(tablets, codes),
    morningUntil: () => readKept<{ until: Instant }>(morning)?.until ?? null,
    keepMorning: until => (until === null ? rmSync(morning, { force: true }) : keep(morning, { until })),
    remove: () => {
      for (const file of [tablets, orders, morning]) rmSync(file, { force: true })
    },
  }
}
