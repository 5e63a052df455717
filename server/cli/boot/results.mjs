import { readFileSync } from 'node:fs'

/**
 * What a test run comes to: `{passed, failed, failures: [{title, message}]}`. A skipped test counts as neither. A
 * file that could not be loaded, and a run that ended badly without a failed test to show for it, count as one
 * failed each.
 */

/** From the JSON that vitest writes. */
export function vitestResults(file, exitCode) {
  const json = read(file)
  if (json === null) return crashed('vitest')
  const failures = []
  for (const suite of json.testResults ?? []) {
    const failed = suite.assertionResults.filter(test => test.status === 'failed')
    for (const test of failed) {
      failures.push({
        title: `${suite.name} › ${test.fullName}`,
        message: (test.failureMessages ?? []).join('\n'),
      })
    }
    if (suite.status === 'failed' && failed.length === 0)
      failures.push({ title: suite.name, message: suite.message ?? '' })
  }
  return complete('vitest', json.numPassedTests ?? 0, failures, exitCode)
}

/** From the JSON that playwright writes. A test that passed at a second try has passed. */
export function playwrightResults(file, exitCode) {
  const json = read(file)
  if (json === null) return crashed('playwright')
  const failures = (json.errors ?? []).map(error => ({ title: 'playwright', message: error.message ?? '' }))
  let passed = 0
  const visit = (suite, above) => {
    for (const spec of suite.specs ?? []) {
      for (const test of spec.tests) {
        if (test.status === 'expected' || test.status === 'flaky') passed += 1
        if (test.status !== 'unexpected') continue
        const messages = test.results.flatMap(result =>
          (result.errors ?? []).map(error => error.message ?? ''),
        )
        failures.push({ title: [...above, spec.title].join(' › '), message: messages.join('\n') })
      }
    }
    for (const inner of suite.suites ?? []) visit(inner, [...above, inner.title])
  }
  for (const suite of json.suites ?? []) visit(suite, [suite.title])
  return complete('playwright', passed, failures, exitCode)
}

/** A run that never came to a result. */
export function crashed(runner, message = 'it ended without results') {
  return { passed: 0, failed: 1, failures: [{ title: runner, message }] }
}

function complete(runner, passed, failures, exitCode) {
  if (exitCode !== 0 && failures.length === 0)
    failures.push({ title: runner, message: `it ended with exit code ${exitCode} though no test failed` })
  return { passed, failed: failures.length, failures }
}

function read(file) {
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch {
    return null
  }
}
