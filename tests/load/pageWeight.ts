import { type Browser, type BrowserContext, chromium, type Page } from '@playwright/test'
import { checkoutFolder } from '../../server/where.ts'
import { aWidePlan } from '../support/aPlan.ts'
import { CHROMIUM_ARGS, chromiumPath } from '../support/chromium.ts'
import { runSunup } from '../support/runSunup.ts'
import { type Figure, figure, freshBenchDatabase } from './figure.ts'

/** Script of a first visit, compressed, and until the enrolment form answers; KB of 1,000 bytes. */
const GOAL_KB = 200
const GOAL_FIRST_S = 3
const GOAL_AGAIN_S = 1
/** A phone of the lower middle: four times slower than this machine (as Lighthouse's mobile standard has it). */
const CPU = 4
/**
 * Networks as the browser's own throttling makes them: the latency is added to each request, connections and TLS cost
 * nothing. `3G slow` has WebPageTest's figures, `slow 3G` those that Lighthouse's mobile standard simulated.
 */
const NETWORKS = {
  '3G slow': { latency: 400, kbit: 400 },
  'slow 3G': { latency: 150, kbit: 1_600 },
} as const

/**
 * What the precinct page weighs in a fresh browser, and how long it takes until the button of the enrolment form
 * answers: at the first visit, and once the page is stored on the tablet, with the network and without.
 */
export async function pageWeight(url: string): Promise<Figure[]> {
  const running = await runSunup({
    url: await freshBenchDatabase(url),
    plan: aWidePlan(8),
    pagesFolder: checkoutFolder(),
  })
  const browser = await chromium.launch({ executablePath: await chromiumPath(), args: CHROMIUM_ARGS })
  try {
    const figures = await weights(browser, `${running.url}/precinct`)
    for (const name of Object.keys(NETWORKS) as Array<keyof typeof NETWORKS>)
      figures.push(...(await times(browser, `${running.url}/precinct`, name)))
    figures.push(await withoutNetwork(browser, `${running.url}/precinct`))
    return figures
  } finally {
    await browser.close()
    await running.stop()
  }
}

/** As transferred, headers and all. */
async function weights(browser: Browser, url: string): Promise<Figure[]> {
  const context = await browser.newContext({ serviceWorkers: 'block' })
  await context.addInitScript(pressUntilAnswered)
  const page = await context.newPage()
  await page.goto(url, { waitUntil: 'networkidle' })
  const loaded = await page.evaluate(() => {
    const { answeredAt = 0 } = window as { answeredAt?: number }
    const all = performance.getEntriesByType('resource') as PerformanceResourceTiming[]
    const kb = (end: string, when: (e: PerformanceResourceTiming) => boolean = () => true) =>
      all
        .filter(e => new URL(e.name).pathname.endsWith(end) && when(e))
        .reduce((n, e) => n + e.transferSize, 0) / 1_000
    const [html] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[]
    return {
      script: kb('.js', e => e.startTime <= answeredAt),
      'script later': kb('.js', e => e.startTime > answeredAt),
      style: kb('.css'),
      fonts: kb('.woff2'),
      page: html!.transferSize / 1_000,
    }
  })
  await context.close()
  return Object.entries(loaded).map(([what, kb]) =>
    figure(`pageWeight ${what}`, kb, 'KB', what === 'script' ? GOAL_KB : null),
  )
}

async function times(browser: Browser, url: string, name: keyof typeof NETWORKS): Promise<Figure[]> {
  const { context, first } = await visited(browser, url, name)
  const again = await answeredAfter(context, url, name)
  await context.close()
  return [
    figure(`pageWeight first ${name}`, first, 's', GOAL_FIRST_S),
    figure(`pageWeight again ${name}`, again, 's', GOAL_AGAIN_S),
  ]
}

async function withoutNetwork(browser: Browser, url: string): Promise<Figure> {
  const { context } = await visited(browser, url, null)
  await context.setOffline(true)
  const seconds = await answeredAfter(context, url, null)
  await context.close()
  return figure('pageWeight no network', seconds, 's', GOAL_AGAIN_S)
}

/** A browser that was there once and stored the page, and how long that first visit took. */
async function visited(browser: Browser, url: string, name: keyof typeof NETWORKS | null) {
  const context = await browser.newContext()
  await context.addInitScript(pressUntilAnswered)
  const first = await answeredAfter(context, url, name)
  const page = context.pages()[0]!
  await page.evaluate(() => navigator.serviceWorker.ready)
  await page.close()
  return { context, first }
}

/** Seconds from the start of the navigation until the form answered its button. */
async function answeredAfter(
  context: BrowserContext,
  url: string,
  name: keyof typeof NETWORKS | null,
): Promise<number> {
  const page = await context.newPage()
  const cdp = await context.newCDPSession(page)
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: CPU })
  if (name) await throttle(page, NETWORKS[name])
  await page.goto(url, { waitUntil: 'commit' })
  const handle = await page.waitForFunction(() => (window as { answeredAt?: number }).answeredAt, null, {
    timeout: 60_000,
  })
  return ((await handle.jsonValue()) as number) / 1_000
}

async function throttle(page: Page, { latency, kbit }: { latency: number; kbit: number }): Promise<void> {
  const cdp = await page.context().newCDPSession(page)
  await cdp.send('Network.enable')
  const throughput = (kbit * 1_000) / 8
  await cdp.send('Network.emulateNetworkConditions', {
    offline: false,
    latency,
    downloadThroughput: throughput,
    uploadThroughput: throughput,
  })
}

/** Runs in the page: presses the button as a thumb would until something is said about the empty field. */
function pressUntilAnswered() {
  const timer = setInterval(() => {
    document.querySelector<HTMLButtonElement>('.pp-go')?.click()
    if (!document.querySelector('.pp-error')?.textContent) return
    ;(window as { answeredAt?: number }).answeredAt = performance.now()
    clearInterval(timer)
  }, 20)
}
