import { createWriteStream, mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { checkPlan } from '../../server/domain/plan/check.ts'
import { planFromFeed } from '../../server/domain/plan/fromFeed.ts'
import { readFeed } from '../../server/vip/readFeed.ts'
import { writePlanFolder } from '../../server/vip/writeFolder.ts'
import { wideFeed } from '../support/aFeed.ts'
import { type Figure, figure } from './figure.ts'

const PRECINCTS = 5_000
const SAMPLE_MS = 10
const MB = 1024 * 1024

/**
 * A feed of 5,000 precincts is read, made into a plan, checked and written as a folder: with a few streets, and
 * with 300,000 of them, as a feed that people look their polling place up in has.
 */
export async function vipImport(): Promise<Figure[]> {
  const few = await timed(2)
  const many = await timed(60)
  return [
    figure('vipImport', few.seconds, `s for 5,000 precincts, ${few.size} MB of XML`, 10),
    figure('vipImport streets', many.seconds, `s with 300,000 streets, ${many.size} MB of XML`),
    figure('vipImport memory', many.peak, 'MB at its peak above the start, with the streets'),
  ]
}

async function timed(streets: number): Promise<{ seconds: number; size: number; peak: number }> {
  const folder = mkdtempSync(join(tmpdir(), 'sunup-bench-vip-'))
  try {
    const file = join(folder, 'feed.xml')
    await pipeline(Readable.from(wideFeed(PRECINCTS, streets)), createWriteStream(file))
    const rss = () => process.memoryUsage().rss
    const before = rss()
    let peak = before
    const watch = setInterval(() => {
      peak = Math.max(peak, rss())
    }, SAMPLE_MS)
    const from = performance.now()
    const read = await readFeed(file)
    if ('refusal' in read) throw new Error(read.refusal)
    const made = planFromFeed(read.feed, { kind: 'practice', locality: null, date: null, zone: null })
    if ('refusal' in made) throw new Error(made.refusal)
    const checked = checkPlan(made.files)
    if ('faults' in checked || checked.plan.precincts.length !== PRECINCTS) throw new Error('not the plan')
    const trouble = writePlanFolder(join(folder, 'plan'), made.files, {})
    if (trouble !== null) throw new Error(trouble)
    const seconds = (performance.now() - from) / 1_000
    clearInterval(watch)
    peak = Math.max(peak, rss())
    return { seconds, size: Math.round(statSync(file).size / MB), peak: (peak - before) / MB }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
