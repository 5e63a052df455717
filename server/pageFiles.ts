import { createReadStream, existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import type { IncomingMessage, ServerResponse } from 'node:http'
import { extname, join } from 'node:path'

/**
 * What stands in front of Next: the precinct page's service worker, and the scripts and styles in Brotli, made when
 * the pages were built (server/cli/boot/afterPages.mjs). Whoever takes no Brotli is served by Next.
 */
export type PageFiles = {
  /** False: it is not one of these. */
  handle(request: IncomingMessage, response: ServerResponse): boolean
}

const TYPES: Readonly<Record<string, string>> = {
  '.js': 'application/javascript; charset=UTF-8',
  '.css': 'text/css; charset=UTF-8',
  '.svg': 'image/svg+xml',
}
const BUILD_HEADER = 'Sunup-Build'

/** @param folder where `.next` was built: the checkout */
export function openPageFiles(folder: string): PageFiles {
  const build = readFileSync(join(folder, '.next', 'BUILD_ID'), 'utf8').trim()
  const worker = join(folder, '.next', 'precinctWorker.js')
  const workerText = existsSync(worker) ? readFileSync(worker) : null
  const compressed = filesIn(join(folder, '.next', 'static'))

  return {
    handle(request, response) {
      if (request.method !== 'GET' && request.method !== 'HEAD') return false
      const path = (request.url ?? '').split('?', 1)[0]!
      // The page says of which build it is, so that a worker takes no part of another's.
      if (path === '/precinct') response.setHeader(BUILD_HEADER, build)
      if (path === '/sw.js' && workerText) {
        response.setHeader('Content-Type', TYPES['.js']!)
        response.setHeader('Cache-Control', 'no-cache')
        response.setHeader('Content-Length', workerText.length)
        response.end(request.method === 'HEAD' ? undefined : workerText)
        return true
      }
      const file = compressed.get(path)
      if (!file || !takesBrotli(request)) return false
      response.setHeader('Content-Type', TYPES[extname(path)] ?? 'application/octet-stream')
      response.setHeader('Content-Encoding', 'br')
      response.setHeader('Content-Length', file.bytes)
      response.setHeader('Vary', 'Accept-Encoding')
      // The name holds the content's hash.
      response.setHeader('Cache-Control', 'public, max-age=31536000, immutable')
      if (request.method === 'HEAD') response.end()
      else
        createReadStream(file.path)
          .on('error', () => response.destroy())
          .pipe(response)
      return true
    },
  }
}

/** By address; only what was there when the server started, so no address leads elsewhere. */
function filesIn(folder: string): Map<string, { path: string; bytes: number }> {
  const names = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(name =>
    name.endsWith('.br'),
  )
  return new Map(
    names.map(name => {
      const path = join(folder, name)
      return [
        `/_next/static/${name.slice(0, -3).replaceAll('\\', '/')}`,
        { path, bytes: statSync(path).size },
      ]
    }),
  )
}

function takesBrotli(request: IncomingMessage): boolean {
  const asked = String(request.headers['accept-encoding'] ?? '')
  return /(^|,)\s*br\s*(;\s*q=(0\.0*[1-9]\d*|0?\.[1-9]\d*|1(\.0*)?)\s*)?(,|$)/.test(asked)
}
