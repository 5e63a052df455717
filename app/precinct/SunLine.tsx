import type { Instant } from '../../server/domain/time.ts'

const WIDTH = 640
const EDGE = 24

/** The sun on its way from opening to closing: on the rule before, going down after. The hours stand in words beside it. */
export function SunLine({ now, opensAt, closesAt }: { now: Instant; opensAt: Instant; closesAt: Instant }) {
  const share = (now - opensAt) / (closesAt - opensAt)
  const along = Math.min(1, Math.max(0, share))
  const x = EDGE + along * (WIDTH - 2 * EDGE)
  const y = 44 - 4 * 34 * along * (1 - along)
  const path = `M${EDGE} 44Q${WIDTH / 2} -24 ${WIDTH - EDGE} 44`
  return (
    <svg className="pp-sun" viewBox={`0 0 ${WIDTH} 56`} aria-hidden="true" fill="none">
      <path d={`M0 44H${WIDTH}`} stroke="var(--rule)" />
      <path d={path} stroke="var(--rule)" strokeWidth="2" />
      <circle
        cx={x}
        cy={y}
        r="10"
        fill={share >= 0 && share <= 1 ? 'var(--sun)' : 'var(--paper)'}
        stroke="var(--sun-line)"
        strokeWidth="2"
      />
    </svg>
  )
}
