import { defineConfig } from '@playwright/test'
import { CHROMIUM_ARGS, chromiumPath } from './tests/support/chromium.ts'

/**
 * Two workers: a page waits more than it computes, so two files side by side take little longer than one on two
 * cores. Each file starts the server and the database it needs itself.
 */
export default defineConfig({
  testDir: 'tests/browser',
  testMatch: '**/*.test.ts',
  workers: 2,
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
