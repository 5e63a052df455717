import { faultLine } from '../domain/plan/checkFault.ts'
import type { Plan } from '../domain/plan/plan.ts'
import { planHash, readPlanFolder } from './planFiles.ts'

const sum = (numbers: number[]) => numbers.reduce((a, b) => a + b, 0)
const n = (value: number) => value.toLocaleString('en-US')

/** What a plan says, in the few lines by which somebody recognises a wrong one. */
export function planSummary(plan: Plan): string[] {
  const { hours, precincts } = plan
  const tabulators = plan.equipment.filter(e => e.kind === 'tabulator').length
  const opening = plan.steps.filter(s => s.phase === 'opening').length
  return [
    `${plan.county}: ${plan.name} (${plan.kind}), ${plan.date}, ${plan.timeZone}`,
    `report ${hours.report}, polls ${hours.open} to ${hours.close}, returns by ${hours.returnBy}; the office's telephone ${plan.officePhone}`,
    `${n(precincts.length)} precincts in ${n(new Set(precincts.map(p => p.place)).size)} places; ${n(sum(precincts.map(p => p.registered)))} registered, ${n(sum(precincts.map(p => p.expected)))} expected, ${n(sum(precincts.map(p => p.ballots)))} ballots`,
    `${n(tabulators)} tabulators of ${n(plan.equipment.length)} pieces of equipment; ${n(plan.seals.length)} seals; ${n(plan.rovers.length)} rovers; ${n(plan.contacts.length)} contacts`,
    `${opening} opening and ${plan.steps.length - opening} closing steps`,
    `hash ${planHash(plan)}`,
  ]
}

/** `sunup plan check DIR`: a summary or every fault, one a line. Returns the exit code: 0 good, 1 faults. */
export function planCheck(dir: string, out: (line: string) => void): 0 | 1 {
  const checked = readPlanFolder(dir)
  if ('plan' in checked) {
    for (const line of planSummary(checked.plan)) out(line)
    return 0
  }
  for (const fault of checked.faults) out(faultLine(fault))
  out(checked.faults.length === 1 ? '1 fault' : `${checked.faults.length} faults`)
  return 1
}
