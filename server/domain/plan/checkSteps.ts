import { shown } from './checkFault.ts'
import { type Row, tables } from './csv.ts'
import type { FaultList } from './faultList.ts'
import { didYouMean } from './nearest.ts'

type StepRow = { line: number; code: string; phase: unknown; after: string[] }

/** Steps name only steps of their own phase, in no circle, and one in ten is not faster than half of them. */
export function stepFaults(rows: readonly Row[], faults: FaultList): void {
  const { file } = tables.steps
  const fault = (line: number, column: string, found: unknown, message: string) =>
    faults.add(file, line, column, found, message)

  const steps: StepRow[] = []
  for (const { line, value } of rows) {
    const { code, phase, after, medianMinutes, p90Minutes } = value
    if (typeof code === 'string') steps.push({ line, code, phase, after: Array.isArray(after) ? after : [] })
    if (typeof medianMinutes === 'number' && typeof p90Minutes === 'number' && p90Minutes < medianMinutes)
      fault(line, 'p90Minutes', p90Minutes, `at least medianMinutes (${medianMinutes})`)
  }
  const byCode = new Map(steps.map(s => [s.code, s]))
  for (const step of steps)
    for (const code of step.after) {
      const before = byCode.get(code)
      if (!before)
        fault(
          step.line,
          'after',
          code,
          `the code of a step in this file${didYouMean(code, [...byCode.keys()])}`,
        )
      else if (before.phase !== step.phase)
        fault(step.line, 'after', code, `a step of the same phase (${shown(step.phase)})`)
    }
  for (const circle of circles(byCode)) {
    const first = byCode.get(circle[0]!)!
    fault(
      first.line,
      'after',
      first.after.join(';'),
      `no circle: ${[...circle, circle[0]].join(' waits for ')}`,
    )
  }
}

/** Each circle of prerequisites once, beginning with its step that stands first in the file. */
function circles(byCode: ReadonlyMap<string, StepRow>): string[][] {
  const found: string[][] = []
  const done = new Set<string>()
  for (const start of byCode.keys()) {
    const path: string[] = []
    const onPath = new Set<string>()
    const visit = (code: string) => {
      if (onPath.has(code)) {
        found.push(path.slice(path.indexOf(code)))
        return
      }
      const step = byCode.get(code)
      if (!step || done.has(code)) return
      path.push(code)
      onPath.add(code)
      for (const before of step.after) visit(before)
      path.pop()
      onPath.delete(code)
      done.add(code)
    }
    visit(start)
  }
  return found
}
