import { defineConfig } from '@playwright/test'
import { CHROMIUM_ARGS, chromiumPath } from './tests/support/chromium.ts'

/** One worker: server, database and browser share two cores. Tests start the server they need themselves. */
export default defineConfig({
  testDir: 'tests/browser',
  testMatch: '**/*.test.ts',
  workers: 1,
  fullyParallel: false,
  forbidOnly: true,
  retries: 0,
  timeout: 90_000,
  expect: { timeout: 15_000 },
  reporter: process.env.PLAYWRIGHT_JSON_OUTPUT_FILE ? [['list'], ['json']] : [['list']],
  use: {
    browserName: 'chromium',
    headless: true,
    launchOptions: { executablePath: await chromiumPath(), args: CHROMIUM_ARGS },
    trace: 'off',
    screenshot: 'off',
  },
})
