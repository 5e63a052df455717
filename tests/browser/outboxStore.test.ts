import { join } from 'node:path'
import { expect, type Page, test } from '@playwright/test'
import { build } from 'esbuild'
import type { createIdbStore, openPrecinctDb } from '../../app/live/outboxIdb.ts'
import { checkoutFolder } from '../../server/where.ts'

/** The outbox in a real browser's storage, over what an earlier version of the page left there. */
declare const outboxIdb: { createIdbStore: typeof createIdbStore; openPrecinctDb: typeof openPrecinctDb }

const owner = { device: 'd-1', day: 'ellery', precinct: 'E-01' }
const said = { at: '2026-11-03T11:00:00Z', kind: 'PollsResumed', body: {}, dayAt: null }

async function pageWithStore(page: Page) {
  const { outputFiles } = await build({
    absWorkingDir: checkoutFolder(),
    entryPoints: [join('app', 'live', 'outboxIdb.ts')],
    bundle: true,
    format: 'iife',
    globalName: 'outboxIdb',
    write: false,
  })
  await page.route('http://store.test/', route =>
    route.fulfill({ body: '<p>here</p>', contentType: 'text/html' }),
  )
  await page.goto('http://store.test/')
  await page.addScriptTag({ content: outputFiles[0]!.text })
}

/** As version 0.1 made and filled it, by the browser's own means. */
async function leftBefore(page: Page, rows: object[], head: object) {
  await page.evaluate(
    ({ rows, head }) =>
      new Promise<void>((resolve, reject) => {
        const asked = indexedDB.open('sunup-precinct', 1)
        asked.onupgradeneeded = () => {
          const db = asked.result
          db.createObjectStore('heads', { keyPath: 'device' })
          db.createObjectStore('reports', { keyPath: ['device', 'number'] }).createIndex('byState', [
            'device',
            'state',
            'number',
          ])
          db.createObjectStore('kept')
        }
        asked.onerror = () => reject(asked.error)
        asked.onsuccess = () => {
          const tx = asked.result.transaction(['heads', 'reports'], 'readwrite')
          tx.objectStore('heads').put(head)
          for (const row of rows) tx.objectStore('reports').put(row)
          tx.oncomplete = () => {
            asked.result.close()
            resolve()
          }
        }
      }),
    { rows, head },
  )
}

test.describe('the outbox in the browser', () => {
  test('P1, P5: what an earlier page kept is sent again to an office that was restored, before what waits', async ({
    page,
  }) => {
    await pageWithStore(page)
    const rows = ['had', 'had', 'refused', 'mended', 'left', 'had', 'waiting'].map((state, i) => ({
      ...said,
      device: owner.device,
      number: i + 1,
      state,
    }))
    await leftBefore(page, rows, { ...owner, last: 7, upTo: 6 })
    const seen = await page.evaluate(async owner => {
      const store = outboxIdb.createIdbStore(await outboxIdb.openPrecinctDb(), owner)
      await store.open(0)
      const before = await store.summary()
      const went = await store.goBack(3)
      const gone = await store.summary()
      const next = await store.waiting(3)
      const all = await store.waiting(99)
      await store.settle({
        numbers: [3, 4, 5, 6, 7],
        upTo: 7,
        refused: [3, 4, 5].map(number => ({ number, problems: [{ path: 'body', message: 'no' }] })),
        at: 9,
      })
      const numbers = (reports: Array<{ number: number }>) => reports.map(r => r.number)
      return {
        before: [before.waiting, before.again, before.head.upTo],
        went,
        gone: [gone.waiting, gone.again, gone.head.upTo, gone.head.last],
        next: numbers(next),
        all: numbers(all),
        after: (await store.summary()).reports.map(r => r.state).reverse(),
        head: (await store.summary()).head,
        tooFar: await store.goBack(0),
      }
    }, owner)
    expect(seen).toEqual({
      before: [1, 0, 6],
      went: true,
      gone: [5, 4, 2, 7],
      next: [3, 4, 5],
      all: [3, 4, 5, 6, 7],
      after: ['had', 'had', 'refused', 'mended', 'left', 'had', 'had'],
      head: { last: 7, upTo: 7 },
      tooFar: false,
    })
  })

  test('P1: keeps the whole day that was dealt with, and refuses at the bound only for what waits', async ({
    page,
  }) => {
    await pageWithStore(page)
    const seen = await page.evaluate(
      async ({ owner, said }) => {
        const store = outboxIdb.createIdbStore(await outboxIdb.openPrecinctDb(), owner)
        await store.open(0)
        for (let i = 0; i < 600; i++) await store.add(said, 5_000)
        const numbers = Array.from({ length: 600 }, (_, i) => i + 1)
        await store.settle({ numbers, upTo: 600, refused: [], at: 1 })
        const went = await store.goBack(1)
        const more = await store.add(said, 1)
        const full = await store.add(said, 1)
        const { again, waiting } = await store.summary()
        return { went, again, waiting, more: more === 'full' ? 0 : more.number, full }
      },
      { owner, said },
    )
    expect(seen).toEqual({ went: true, again: 600, waiting: 601, more: 601, full: 'full' })
  })

  test('P1: goes on where the browser, or another tab, closed its database under it', async ({ page }) => {
    await pageWithStore(page)
    const numbers = await page.evaluate(
      async ({ owner, said }) => {
        const door = await outboxIdb.openPrecinctDb()
        const store = outboxIdb.createIdbStore(door, owner)
        await store.open(0)
        const first = await store.add(said, 9)
        await door.begin(db => db.close())
        const second = await store.add(said, 9)
        // Another tab wants it deleted: it is closed for that, or this would wait for ever.
        await new Promise((resolve, reject) => {
          const asked = indexedDB.deleteDatabase('sunup-precinct')
          asked.onsuccess = resolve
          asked.onblocked = () => reject(new Error('blocked'))
        })
        await store.open(2)
        const third = await store.add(said, 9)
        return [first, second, third].map(report => report !== 'full' && report.number)
      },
      { owner, said },
    )
    expect(numbers).toEqual([1, 2, 3])
  })
})
