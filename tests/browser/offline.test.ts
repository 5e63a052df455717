import { createServer, type IncomingMessage, request } from 'node:http'
import type { AddressInfo } from 'node:net'
import { type BrowserContext, expect, type Page, test } from '@playwright/test'
import { offline as OFFLINE } from '../../app/precinct/words/en/office.ts'
import { officeOfFile } from './office.ts'
import { asked, begin, end, enrolAt, PHONE, press, toStart, type } from './precinctPage.ts'

/** The precinct page without a network, in a real browser: installed once, it opens and takes reports all the same. */
const office = officeOfFile({ at: '09:00', morning: true })

const lines = async (precinct: string) =>
  (await office.ask('entries', precinct)).filter(e => e.kind === 'LineReported')

async function sayLine(page: Page, inLine: number) {
  await begin(page, 'Line')
  await type(page, 'How many people are in line to check in?', String(inLine))
  await press(page, 'Leave it out')
}

/** Said without a connection: kept, and back to the start. */
async function keepLine(page: Page, inLine: number) {
  await sayLine(page, inLine)
  await asked(page, 'Line reported')
  await toStart(page)
}

/** Nothing while the page is being loaded anew. */
const caches = (page: Page) => page.evaluate(() => window.caches.keys()).catch(() => [])

/** Writes until nothing more goes in, in ever smaller pieces. */
async function fillDisk(page: Page) {
  await page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>(resolve => {
      const asked = indexedDB.open('filling', 1)
      asked.onupgradeneeded = () => asked.result.createObjectStore('all', { autoIncrement: true })
      asked.onsuccess = () => resolve(asked.result)
    })
    const put = (bytes: number) =>
      new Promise<boolean>(resolve => {
        const tx = db.transaction('all', 'readwrite', { durability: 'strict' })
        tx.objectStore('all').add(crypto.getRandomValues(new Uint8Array(Math.min(bytes, 65_536))))
        tx.oncomplete = () => resolve(true)
        tx.onabort = () => resolve(false)
      })
    for (let bytes = 65_536; bytes >= 16; bytes /= 4) while (await put(bytes));
    db.close()
  })
}

/** A page that has stored itself. */
async function installed(context: BrowserContext, url = office.url): Promise<Page> {
  const page = await context.newPage()
  await page.goto(`${url}/precinct`)
  await page.evaluate(() => navigator.serviceWorker.ready)
  return page
}

test('P1 P5 P7 installed, cut off, reloaded, killed and opened again: what was said arrives once, in order, at its time', async ({
  browser,
}) => {
  const context = await browser.newContext({ viewport: PHONE, colorScheme: 'light' })
  let page = await installed(context)
  await enrolAt(page, office, 'seawall', 'Seawall')
  // This office's clock stands while it is down: far enough from where the day began.
  await office.ask('playTo', '09:30')
  await expect(page.getByText(OFFLINE.ready)).toBeVisible()
  await sayLine(page, 1)
  await end(page, 'Line reported')

  await context.setOffline(true)
  await office.kill()
  await keepLine(page, 2)
  const saidSecond = Date.now()
  await page.reload()
  await expect(page.getByText(/^1 report waiting/)).toBeVisible()
  await keepLine(page, 3)
  const other = await context.newPage()
  await page.close()
  await other.goto(`${office.url}/precinct`)
  page = await context.newPage()
  await page.goto(`${office.url}/precinct`)
  await expect(page.getByText(/^2 reports waiting/)).toBeVisible()
  // Two tabs of one tablet: one list of numbers.
  await keepLine(other, 4)
  await keepLine(page, 5)
  const saidLast = Date.now()
  await expect(other.getByText(/^4 reports waiting/)).toBeVisible()

  await office.restart()
  await context.setOffline(false)
  await expect(page.getByText(/^Office has everything/)).toBeVisible({ timeout: 60_000 })
  const told = await lines('seawall')
  expect(told.map(e => [e.number, e.body.inLine])).toEqual([1, 2, 3, 4, 5].map(n => [n, n]))
  const at = told.slice(1).map(e => Date.parse(e.occurredAt))
  expect(at).toEqual([...at].sort((a, b) => a - b))
  expect(Math.abs(at[3]! - at[0]! - (saidLast - saidSecond))).toBeLessThan(3_000)
  await context.close()
})

test('a full disk is told where the report is said, and when there is room again the report goes through', async ({
  browser,
}) => {
  const context = await browser.newContext({
    viewport: PHONE,
    colorScheme: 'light',
    serviceWorkers: 'block',
  })
  const page = await context.newPage()
  const cdp = await context.newCDPSession(page)
  const { origin } = new URL(office.url)
  await cdp.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 4_000_000 })
  await page.goto(`${office.url}/precinct`)
  await enrolAt(page, office, 'breakwater', 'Breakwater')
  await sayLine(page, 1)
  await end(page, 'Line reported')
  await fillDisk(page)
  await sayLine(page, 2)
  await expect(page.getByRole('alert').filter({ hasText: 'could not save it' })).toBeVisible()
  expect(await lines('breakwater')).toHaveLength(1)
  await page.evaluate(
    () =>
      new Promise(resolve => {
        indexedDB.deleteDatabase('filling').onsuccess = resolve
      }),
  )
  await cdp.send('Storage.overrideQuotaForOrigin', { origin })
  await press(page, 'Leave it out')
  await end(page, 'Line reported')
  expect((await lines('breakwater')).map(e => [e.number, e.body.inLine])).toEqual([
    [1, 1],
    [2, 2],
  ])
  await context.close()
})

test('a browser without storage and without service workers says both, and reports all the same', async ({
  browser,
}) => {
  const context = await browser.newContext({ viewport: PHONE, colorScheme: 'light' })
  await context.addInitScript(() => {
    Object.defineProperty(window, 'indexedDB', { value: undefined })
    Object.defineProperty(navigator, 'serviceWorker', { value: undefined })
  })
  const page = await context.newPage()
  await page.goto(`${office.url}/precinct`)
  await enrolAt(page, office, 'ropewalk', 'Ropewalk')
  await expect(page.getByText(OFFLINE.onlyOpen)).toBeVisible()
  await expect(page.getByText(/^This browser keeps nothing/)).toBeVisible()
  await sayLine(page, 7)
  await end(page, 'Line reported')
  expect((await lines('ropewalk')).map(e => e.body.inLine)).toEqual([7])
  await context.close()
})

test('a new build replaces the old one as a whole, after it was stored as a whole', async ({ browser }) => {
  const builds = await anotherBuild(office.url)
  const context = await browser.newContext({ viewport: PHONE, colorScheme: 'light' })
  try {
    const page = await installed(context, builds.url)
    const before = await caches(page)
    expect(before).toHaveLength(1)

    // Its worker is there and its page not yet: nothing of it is kept.
    builds.serve({ worker: true, page: false })
    await page.evaluate(() => navigator.serviceWorker.getRegistration().then(r => r!.update()))
    await expect
      .poll(() => page.evaluate(() => navigator.serviceWorker.getRegistration().then(r => r!.installing)))
      .toBeNull()
    expect(await caches(page)).toEqual(before)

    builds.serve({ worker: true, page: true })
    await page.reload()
    await expect.poll(() => caches(page)).toHaveLength(2)
    await expect
      .poll(() =>
        page.evaluate(() => navigator.serviceWorker.getRegistration().then(r => r!.waiting !== null)),
      )
      .toBe(true)
    // The next opening is of the new build, and the old one's parts are gone.
    await page.reload()
    await expect.poll(() => caches(page)).toEqual(['sunup-precinct-build-two'])
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible()
    expect(
      await page.evaluate(async () =>
        (await window.caches.match('/precinct', { ignoreVary: true }))!.headers.get('sunup-build'),
      ),
    ).toBe('build-two')
    await context.setOffline(true)
    await page.reload()
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible()
  } finally {
    await context.close()
    await builds.close()
  }
})

/** The same server seen through another name, which can say that its worker or its page is of another build. */
async function anotherBuild(of: string) {
  const target = new URL(of)
  const own = (await fetch(`${of}/precinct`)).headers.get('sunup-build')!
  let other = { worker: false, page: false }
  const to = (asked: IncomingMessage) => ({
    host: target.hostname,
    port: target.port,
    method: asked.method,
    path: asked.url,
    headers: { ...asked.headers, 'accept-encoding': 'identity' },
  })
  const server = createServer((asked, answer) => {
    const onward = request(to(asked), from => {
      const isWorker = asked.url === '/sw.js'
      const isPage = asked.url === '/precinct'
      const headers = { ...from.headers }
      if (isPage && other.page) headers['sunup-build'] = 'build-two'
      if (isWorker && other.worker) {
        let text = ''
        from.setEncoding('utf8').on('data', part => {
          text += part
        })
        from.on('end', () => {
          const changed = text.replaceAll(own, 'build-two')
          answer.writeHead(200, { ...headers, 'content-length': Buffer.byteLength(changed) })
          answer.end(changed)
        })
        return
      }
      answer.writeHead(from.statusCode ?? 502, headers)
      from.pipe(answer)
    })
    onward.on('error', () => answer.destroy())
    asked.pipe(onward)
  })
  server.on('upgrade', (_asked, near) => near.destroy())
  await new Promise<void>(resolve => void server.listen(0, '127.0.0.1', resolve))
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    serve(next: typeof other) {
      other = next
    },
    close: () =>
      new Promise<void>(resolve => {
        server.closeAllConnections()
        server.close(() => resolve())
      }),
  }
}
