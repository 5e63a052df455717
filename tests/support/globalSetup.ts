import { chmodSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestProject } from 'vitest/node'
import { stopEmbedded } from '../../db/embedded.ts'
import { lookAt } from '../../db/processes.ts'

declare module 'vitest' {
  interface ProvidedContext {
    /** Folder of this run's database server; the first test that asks for a database starts it (database.ts). */
    testCluster: string
  }
}

const PREFIX = 'sunup-test-'

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  await clearAfterKilledRuns()
  const dir = mkdtempSync(join(tmpdir(), `${PREFIX}${process.pid}-`))
  // Root's server runs as another user, who must be able to walk in.
  chmodSync(dir, 0o755)
  project.provide('testCluster', dir)
  return async () => clear(dir)
}

/**
 * A run that was killed could not stop its server: its folder tells whose it was. Another run may be clearing it at
 * the same moment and take it from under us; whatever that leaves is cleared by the next.
 */
async function clearAfterKilledRuns(): Promise<void> {
  for (const name of readdirSync(tmpdir())) {
    const run = new RegExp(`^${PREFIX}(\\d+)-`).exec(name)
    if (run && lookAt(Number(run[1])) === null) await clear(join(tmpdir(), name)).catch(() => {})
  }
}

async function clear(dir: string): Promise<void> {
  await stopEmbedded(join(dir, 'database'))
  rmSync(dir, { recursive: true, force: true })
}
