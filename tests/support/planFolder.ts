import { cpSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { checkoutFolder } from '../../server/where.ts'

/** A copy of Ellery County's plan folder, made a real election day of `date`; its hours and policy may be changed. */
export function electionFolder(
  dir: string,
  date = '2026-11-03',
  changes: { hours?: Record<string, string>; policy?: Record<string, unknown> } = {},
): string {
  cpSync(join(checkoutFolder(), 'seed', 'ellery'), dir, { recursive: true })
  const file = join(dir, 'plan.json')
  const plan = JSON.parse(readFileSync(file, 'utf8'))
  const hours = { ...plan.hours, ...changes.hours }
  const policy = { ...plan.policy, ...changes.policy }
  writeFileSync(
    file,
    JSON.stringify({ ...plan, kind: 'election', name: 'General election', date, hours, policy }, null, 2),
  )
  return dir
}
