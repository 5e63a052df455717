import { describe, expect, it } from 'vitest'
import { answerFor, assetsIn, cacheOf, cachesToDrop } from '../../../app/live/offline/shell.ts'

const origin = 'https://sunup.test'
const asked = (path: string, mode = 'no-cors', method = 'GET') =>
  answerFor({ method, mode, url: `${origin}${path}` }, origin)

describe('what the service worker of the precinct page answers', () => {
  it('opens the page from the shell, whatever stands behind its address', () => {
    expect(asked('/precinct', 'navigate')).toBe('shell')
    expect(asked('/precinct?code=ABCDE-FGHJK', 'navigate')).toBe('shell')
    expect(asked('/precinct#said', 'navigate')).toBe('shell')
  })

  it('takes hashed files, the manifest and its icon from what is kept', () => {
    expect(asked('/_next/static/chunks/0a1b.js')).toBe('kept')
    expect(asked('/precinct.webmanifest')).toBe('kept')
    expect(asked('/icons/sunup-192.png')).toBe('kept')
  })

  it('touches nothing else: other pages, the API, sockets, what changes something, other origins', () => {
    for (const path of ['/', '/desk', '/precincts', '/precinct/other', '/setup/day', '/enter?key=x'])
      expect(asked(path, 'navigate'), path).toBe('network')
    for (const path of [
      '/api/v1/enrol',
      '/api/v1/device',
      '/socket.io/?transport=polling',
      '/sw.js',
      '/healthz',
    ])
      expect(asked(path, 'cors'), path).toBe('network')
    expect(asked('/precinct', 'cors')).toBe('network')
    expect(asked('/precinct', 'navigate', 'POST')).toBe('network')
    expect(
      answerFor({ method: 'GET', mode: 'no-cors', url: 'https://other.test/_next/static/a.js' }, origin),
    ).toBe('network')
  })
})

describe('what belongs to the shell', () => {
  it('finds scripts, styles and parts that are loaded later, each once, and leaves scripts for old browsers', () => {
    const html = `<link rel="stylesheet" href="/_next/static/chunks/1v3k.css"/>
      <script src="/_next/static/chunks/old-0c.js" noModule="" nonce="n"></script>
      <script src="/_next/static/chunks/turbo-2u.js" async=""></script>
      <script>self.x.push([1,"5:I[1,[\\"/_next/static/chunks/04y_.js\\",\\"/_next/static/chunks/turbo-2u.js\\"]"])</script>`
    expect(assetsIn(html)).toEqual([
      '/_next/static/chunks/1v3k.css',
      '/_next/static/chunks/turbo-2u.js',
      '/_next/static/chunks/04y_.js',
    ])
    expect(assetsIn('e.v(t=>Promise.all(["static/chunks/later~1.js"].map(e=>t.l(e))))')).toEqual([
      '/_next/static/chunks/later~1.js',
    ])
  })

  it('takes the fonts for Latin letters only', () => {
    const css = `@font-face{src:url(../media/inter-latin-wght-normal.0g.woff2)}
      @font-face{src:url(../media/inter-latin-ext-wght-normal.3g.woff2)}
      @font-face{src:url(../media/inter-cyrillic-wght-normal.2c.woff2)}`
    expect(assetsIn(css)).toEqual(['/_next/static/media/inter-latin-wght-normal.0g.woff2'])
  })

  it('finds nothing in what names nothing', () => {
    expect(assetsIn('')).toEqual([])
    expect(assetsIn('const a = "static/other/x.js"')).toEqual([])
  })
})

describe('the caches of other builds', () => {
  const names = [cacheOf('one'), cacheOf('two'), 'of-somebody-else']

  it('go when at most one tab is open, and never this build’s or another’s', () => {
    expect(cachesToDrop(names, 'two', 0, false)).toEqual([cacheOf('one')])
    expect(cachesToDrop(names, 'two', 1, false)).toEqual([cacheOf('one')])
  })

  it('stay while a second tab may still load its later parts from them', () => {
    expect(cachesToDrop(names, 'two', 2, false)).toEqual([])
  })

  it('stay while a newer worker waits, whose cache is one of them', () => {
    expect(cachesToDrop(names, 'two', 1, true)).toEqual([])
  })
})
