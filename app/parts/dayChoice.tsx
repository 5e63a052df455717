import type { DayBrief } from '../live/useDays.ts'

/** Where several days can be opened: one link each, to the same page. What doesn't run any more says so. */
export function DayChoice({
  days,
  page,
  className,
  itemClassName,
}: {
  days: readonly DayBrief[]
  page: string
  className?: string | undefined
  itemClassName?: string | undefined
}) {
  return (
    <ul className={className}>
      {days.map(day => (
        <li key={day.id}>
          <a className={itemClassName} href={`${page}?day=${encodeURIComponent(day.id)}`}>
            {day.name ? `${day.county ?? ''} ${day.name}` : day.id}
            {day.running === false && ', closed'}
          </a>
        </li>
      ))}
    </ul>
  )
}
