import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { playwrightResults, vitestResults } from '../../server/cli/boot/results.mjs'

const folder = mkdtempSync(join(tmpdir(), 'sunup-results-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
function written(json: unknown): string {
  const file = join(folder, 'results.json')
  writeFileSync(file, typeof json === 'string' ? json : JSON.stringify(json))
  return file
}

describe('what a run of the tests comes to', () => {
  it('counts passed and failed, and leaves skipped ones out', () => {
    const results = vitestResults(
      written({
        numPassedTests: 5,
        testResults: [
          {
            name: 'a.test.ts',
            status: 'failed',
            assertionResults: [
              { status: 'failed', fullName: 'adds', failureMessages: ['expected 1 to be 2'] },
              { status: 'skipped', fullName: 'waits' },
            ],
          },
        ],
      }),
      1,
    )
    expect(results).toEqual({
      passed: 5,
      failed: 1,
      failures: [{ title: 'a.test.ts › adds', message: 'expected 1 to be 2' }],
    })
  })

  it('counts a file that could not be loaded as one failed', () => {
    const json = {
      numPassedTests: 2,
      testResults: [{ name: 'b.test.ts', status: 'failed', message: 'no such module', assertionResults: [] }],
    }
    expect(vitestResults(written(json), 1)).toMatchObject({ passed: 2, failed: 1 })
  })

  it('counts a runner that crashed as one failed: without results, with broken ones, or for no reason given', () => {
    expect(vitestResults(join(folder, 'nothing.json'), 0)).toMatchObject({ passed: 0, failed: 1 })
    expect(playwrightResults(written('{"sui'), 0)).toMatchObject({ passed: 0, failed: 1 })
    expect(vitestResults(written({ numPassedTests: 9, testResults: [] }), 1)).toMatchObject({
      passed: 9,
      failed: 1,
    })
    expect(playwrightResults(written({ suites: [], errors: [{ message: 'config' }] }), 1)).toMatchObject({
      passed: 0,
      failed: 1,
    })
  })

  it('counts browser tests in groups, and says what failed in them', () => {
    const test = (status: string, message?: string) => ({
      title: status,
      tests: [{ status, results: [{ errors: message ? [{ message }] : [] }] }],
    })
    const json = {
      suites: [
        {
          title: 'desk.test.ts',
          specs: [test('expected'), test('skipped')],
          suites: [{ title: 'calls', specs: [test('unexpected', 'not visible'), test('flaky')] }],
        },
      ],
    }
    expect(playwrightResults(written(json), 1)).toEqual({
      passed: 2,
      failed: 1,
      failures: [{ title: 'desk.test.ts › calls › unexpected', message: 'not visible' }],
    })
  })
})
