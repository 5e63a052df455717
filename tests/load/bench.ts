import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startEmbedded } from '../../db/embedded.ts'
import { backup, intakeBesideBackup } from './backup.ts'
import { boardLatency } from './boardLatency.ts'
import { calibration } from './calibration.ts'
import { fold, rules, rulesTouched } from './domainFigures.ts'
import type { Figure } from './figure.ts'
import { firstPicture } from './firstPicture.ts'
import { forecastRun } from './forecastRun.ts'
import { heartbeats } from './heartbeats.ts'
import { intake } from './intake.ts'
import { pageWeight } from './pageWeight.ts'
import { planCheck } from './planCheck.ts'
import { replayJump } from './replayJump.ts'
import { rssPerDevice } from './rssPerDevice.ts'
import { vipImport } from './vipImport.ts'

/**
 * `npm run bench [-- NAME …] [-- --json]`: one figure after another, each beside its limit from the same run.
 * Numbers depend on the machine; server, database and load share its cores. firstPicture clones and builds, so
 * it is run by its name only.
 */
const figures: Record<string, (url: string) => Promise<Figure[]>> = {
  fold: async () => fold(),
  rules: async () => rules(),
  rulesTouched: async () => rulesTouched(),
  calibration: async () => calibration(),
  forecastRun,
  vipImport: async () => vipImport(),
  planCheck: async () => planCheck(),
  intake,
  heartbeats,
  boardLatency,
  rssPerDevice,
  backup,
  intakeBesideBackup,
  replayJump,
  pageWeight,
  firstPicture,
}
const byNameOnly = new Set(['firstPicture'])

const words = process.argv.slice(2)
const json = words.includes('--json')
const named = words.filter(w => w !== '--json')
const unknown = named.filter(name => !Object.hasOwn(figures, name))
if (unknown.length > 0) {
  process.stderr.write(`no such figure: ${unknown.join(', ')}. Known: ${Object.keys(figures).join(', ')}\n`)
  process.exit(2)
}
const folder = mkdtempSync(join(tmpdir(), 'sunup-bench-'))
const database = await startEmbedded(folder, line => process.stderr.write(`${line}\n`))
try {
  for (const name of named.length > 0 ? named : Object.keys(figures).filter(n => !byNameOnly.has(n)))
    for (const figure of await figures[name]!(database.url))
      process.stdout.write(json ? `${JSON.stringify(figure)}\n` : `${plain(figure)}\n`)
} finally {
  await database.stop()
  rmSync(folder, { recursive: true, force: true })
}

function plain({ name, value, unit, baseline, ratio }: Figure): string {
  const beside = baseline === null ? '' : `  beside ${round(baseline)}, ratio ${ratio?.toFixed(2)}`
  return `${name.padEnd(24)} ${String(round(value)).padStart(12)} ${unit}${beside}`
}

function round(value: number): number {
  return Math.abs(value) >= 100 ? Math.round(value) : Math.round(value * 100) / 100
}
