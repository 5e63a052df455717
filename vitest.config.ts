import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defineConfig } from 'vitest/config'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))
const present = (path: string) => (existsSync(here(path)) ? [here(path)] : [])

/**
 * The folder of published samples that this project doesn't carry; without it there is no conformance group
 * (`npm test` says so in one line).
 */
const samples = process.env.SUNUP_CONFORMANCE

/**
 * Four groups, one after another, and a fifth where the published samples are at hand; two files at a time (two
 * cores). Pure tests and screens first. What needs Postgres (`.pg.test.ts`) shares one embedded server, with a
 * database of its own for each file. What kills servers or plays a whole day waits more than it works, and waits for
 * the machine where it is slow; of three at a time a practice day's forecasts come too late.
 */
export default defineConfig({
  test: {
    pool: 'forks',
    maxWorkers: 2,
    projects: [
      {
        test: {
          name: 'pure',
          // Its tests share no state but modules, which are then read once and not for each file.
          isolate: false,
          include: ['tests/{domain,house,reference,server}/**/*.test.ts'],
          exclude: ['**/*.pg.test.ts'],
          environment: 'node',
          testTimeout: 20_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        plugins: [react()],
        // As in a browser.
        resolve: {
          alias: { 'socket.io-client': here('node_modules/socket.io-client/dist/socket.io.esm.min.js') },
        },
        test: {
          name: 'screens',
          include: ['tests/screens/**/*.test.{ts,tsx}'],
          environment: 'jsdom',
          setupFiles: present('tests/support/screenSetup.ts'),
          testTimeout: 20_000,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          name: 'postgres',
          include: ['tests/{domain,server}/**/*.pg.test.ts'],
          environment: 'node',
          globalSetup: [here('tests/support/globalSetup.ts')],
          testTimeout: 60_000,
          hookTimeout: 60_000,
          sequence: { groupOrder: 2 },
        },
      },
      {
        test: {
          name: 'whole',
          include: ['tests/{simulation,faults,load}/**/*.test.ts'],
          environment: 'node',
          globalSetup: [here('tests/support/globalSetup.ts')],
          testTimeout: 240_000,
          hookTimeout: 120_000,
          sequence: { groupOrder: 3 },
        },
      },
      ...(samples && existsSync(samples)
        ? [
            {
              test: {
                name: 'conformance',
                include: ['tests/conformance/**/*.test.ts'],
                environment: 'node' as const,
                globalSetup: [here('tests/support/globalSetup.ts')],
                testTimeout: 240_000,
                hookTimeout: 240_000,
                sequence: { groupOrder: 4 },
              },
            },
          ]
        : []),
    ],
  },
})
