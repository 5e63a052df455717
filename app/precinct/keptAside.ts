import { DEVICE_REPLACED } from '../../server/domain/log/aside.ts'
import type { KeptReport } from '../live/outboxStore.ts'

/**
 * The office did not take it because another tablet had taken this one's place: it keeps it aside and decides, and
 * saying it again here would change nothing.
 */
export function keptAside(report: Pick<KeptReport, 'state' | 'problems'>): boolean {
  return report.state === 'refused' && (report.problems ?? []).some(p => p.path === DEVICE_REPLACED)
}

/** How many reports the office did not take and somebody here can mend. */
export function toMend(box: { refused: number; reports: readonly KeptReport[] }): number {
  return Math.max(0, box.refused - box.reports.filter(keptAside).length)
}
