import type { PlanIndex } from '../domain/plan/brief.ts'
import type { Timeline } from '../domain/review/timeline.ts'
import type { Instant } from '../domain/time.ts'
import type { DayMarks } from '../protocol/review.ts'

/**
 * What stands on the review's slider of a day.
 * @param last the instant up to which the day reaches
 */
export function marksOf(
  day: string,
  { index, timeline }: { index: PlanIndex; timeline: Timeline },
  last: Instant,
  running: boolean,
): DayMarks {
  const { county, name, kind, date, timeZone, opensAt, closesAt } = index.brief
  return {
    day,
    county,
    name,
    kind,
    date,
    timeZone,
    first: timeline.recordedAt(1),
    last,
    running,
    entries: timeline.length(),
    opensAt,
    closesAt,
    quarters: timeline.quarters(),
    reasons: [...timeline.reasons()],
    reasonsLeftOut: timeline.reasonsLeftOut(),
  }
}
