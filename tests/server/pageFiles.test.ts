import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { createServer, get, type IncomingHttpHeaders } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { brotliCompressSync, brotliDecompressSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openPageFiles } from '../../server/pageFiles.ts'

const folder = mkdtempSync(join(tmpdir(), 'sunup-page-files-'))
const script = `const a = ${JSON.stringify('x'.repeat(3_000))}`
let url = ''
const server = createServer()

beforeAll(async () => {
  const chunks = join(folder, '.next', 'static', 'chunks')
  mkdirSync(chunks, { recursive: true })
  writeFileSync(join(folder, '.next', 'BUILD_ID'), 'build-one\n')
  writeFileSync(join(folder, '.next', 'precinctWorker.js'), 'self.here')
  writeFileSync(join(chunks, 'a.js'), script)
  writeFileSync(join(chunks, 'a.js.br'), brotliCompressSync(script))
  const files = openPageFiles(folder)
  server.on('request', (request, response) => {
    if (!files.handle(request, response)) response.writeHead(404).end('next')
  })
  await new Promise<void>(resolve => void server.listen(0, '127.0.0.1', resolve))
  url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
})
afterAll(() => {
  server.close()
  rmSync(folder, { recursive: true, force: true })
})

/** Raw: nothing is decompressed on the way. */
function fetched(path: string, headers: Record<string, string> = {}) {
  return new Promise<{ status: number; headers: IncomingHttpHeaders; bytes: Buffer }>((resolve, reject) => {
    get(`${url}${path}`, { headers }, response => {
      const parts: Buffer[] = []
      response.on('data', part => parts.push(part))
      response.on('end', () =>
        resolve({ status: response.statusCode ?? 0, headers: response.headers, bytes: Buffer.concat(parts) }),
      )
    }).on('error', reject)
  })
}

describe('files in front of the pages', () => {
  it('serves a script in Brotli to who takes it, for good', async () => {
    for (const accept of ['br', 'gzip, deflate, br, zstd', 'gzip;q=0.5, br;q=0.9']) {
      const { status, headers, bytes } = await fetched('/_next/static/chunks/a.js?x=1', {
        'accept-encoding': accept,
      })
      expect(status).toBe(200)
      expect(brotliDecompressSync(bytes).toString()).toBe(script)
      expect(headers).toMatchObject({
        'content-encoding': 'br',
        'content-type': 'application/javascript; charset=UTF-8',
        'content-length': String(bytes.length),
        vary: 'Accept-Encoding',
        'cache-control': 'public, max-age=31536000, immutable',
      })
    }
  })

  it('leaves to Next who takes no Brotli, and every other address', async () => {
    for (const accept of ['gzip', 'br;q=0', 'gzip, br;q=0.0', 'brr', ''])
      expect((await fetched('/_next/static/chunks/a.js', { 'accept-encoding': accept })).status, accept).toBe(
        404,
      )
    for (const path of [
      '/_next/static/chunks/b.js',
      '/_next/static/chunks/a.js.br',
      '/_next/static/../BUILD_ID',
    ])
      expect((await fetched(path, { 'accept-encoding': 'br' })).status, path).toBe(404)
  })

  it('serves the worker so that a newer one is seen at once, and says of which build the page is', async () => {
    const { headers, bytes } = await fetched('/sw.js')
    expect(bytes.toString()).toBe('self.here')
    expect(headers).toMatchObject({
      'cache-control': 'no-cache',
      'content-type': 'application/javascript; charset=UTF-8',
    })
    expect((await fetched('/precinct')).headers['sunup-build']).toBe('build-one')
    expect((await fetched('/precinct?code=A')).headers['sunup-build']).toBe('build-one')
    expect((await fetched('/desk')).headers['sunup-build']).toBeUndefined()
  })
})
