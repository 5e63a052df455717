import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { brotliCompressSync, constants } from 'node:zlib'
import { root } from './step.mjs'

const built = join(root, '.next')
/** Below this many bytes compression saves no packet. */
const WORTH_IT = 1_024

/** What the pages need beside Next's own build: the precinct page's service worker, and the scripts in Brotli. */
export async function afterPages() {
  const buildId = readFileSync(join(built, 'BUILD_ID'), 'utf8').trim()
  const { build } = await import('esbuild')
  await build({
    absWorkingDir: root,
    entryPoints: ['app/live/offline/worker.ts'],
    outfile: '.next/precinctWorker.js',
    bundle: true,
    platform: 'browser',
    format: 'iife',
    target: 'es2020',
    minify: true,
    define: { BUILD: JSON.stringify(buildId) },
    logLevel: 'silent',
  })
  const folder = join(built, 'static')
  for (const entry of readdirSync(folder, { recursive: true })) {
    if (!/\.(js|css|svg)$/.test(entry)) continue
    const bytes = readFileSync(join(folder, entry))
    if (bytes.length < WORTH_IT) continue
    const params = { [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length }
    writeFileSync(join(folder, `${entry}.br`), brotliCompressSync(bytes, { params }))
  }
}
