import type { BoardRow } from '../../server/domain/day/row.ts'
import { fanOf } from '../../server/domain/forecast/fan.ts'
import type { BoardForecast } from '../../server/domain/forecast/onBoard.ts'
import { HOUR, type Instant, MINUTE } from '../../server/domain/time.ts'
import type { PlanBrief } from '../../server/protocol/board.ts'

/** The picture's window on the day and its size in pixels. The same for every strip of a list. */
export type StripFrame = {
  from: Instant
  to: Instant
  midnight: Instant
  opensAt: Instant
  closesAt: Instant
  width: number
  height: number
}

export type StripGeometry = {
  base: number
  opensX: number
  closesX: number
  /** null: now is outside the window. */
  nowX: number | null
  /** Hollow; `late` where it goes on past the legal opening. */
  setUp: { x: number; w: number; late: boolean } | null
  notches: number[]
  bars: Array<{ x: number; w: number; y: number; h: number }>
  /** Path of the outline of what was expected; empty where nothing was. */
  expected: string
  /** Path of the band that the voters of each quarter hour to come are forecast in; empty where none is. */
  coming: string
  /** When it will be ready: between, and by the middle; `late` where the middle lies past the legal opening. */
  ready: { x: number; w: number; middleX: number; late: boolean } | null
  boxes: Array<{ what: 'down' | 'slot' | 'suspended'; x: number; w: number }>
  dots: number[]
  marks: Array<{ what: 'call' | 'visit' | 'incident'; x: number }>
  /** After closing, until the return is received. */
  tail: { x: number; w: number; departedX: number | null; received: boolean } | null
}

export type StripRow = Pick<BoardRow, 'strip' | 'openedAt' | 'closedAt' | 'departedAt' | 'receivedAt'>

/** What of a precinct's forecast a strip draws, with the profile that the county's counts have made. */
export type StripForecast = Pick<BoardForecast, 'ready' | 'turnout'> & { profile: readonly number[] }

const QUARTER = 15 * MINUTE
/** Room above the bars for wedges and diamonds, below for the base line. */
const SIGNS = 9
const FOOT = 1
export const BOX_HEIGHT = 9
/** The expected peak stands this much below the top, so that a busy quarter hour still shows as one. */
const HEADROOM = 1.5

/** The window that a plan's day asks for: from a half hour before workers report to the hour by which returns are due. */
export function frameOf(
  plan: Pick<PlanBrief, 'midnight' | 'reportAt' | 'opensAt' | 'closesAt' | 'returnBy'>,
  width: number,
  height: number,
): StripFrame {
  const lastly = Math.max(plan.closesAt + 2 * HOUR, plan.returnBy)
  return {
    from:
      Math.floor((plan.reportAt - 30 * MINUTE - plan.midnight) / (30 * MINUTE)) * 30 * MINUTE + plan.midnight,
    to: Math.min(plan.closesAt + 4 * HOUR, lastly),
    midnight: plan.midnight,
    opensAt: plan.opensAt,
    closesAt: plan.closesAt,
    width,
    height,
  }
}

export function xOf(at: Instant, frame: StripFrame): number {
  const share = (at - frame.from) / (frame.to - frame.from)
  return round(Math.min(1, Math.max(0, share)) * frame.width)
}

const round = (n: number) => Math.round(n * 10) / 10

/**
 * Where everything of a day strip stands. Pure: the same row, plan and instant give the same picture.
 * Heights are voters per quarter hour, scaled so that the expected peak stands at two thirds of the strip, or the
 * reported peak at its top; a strip is compared with its own expectation, not with its neighbour's size.
 *
 * @param expected voters expected on the day
 * @param profile share of the day's voters per quarter hour since local midnight
 */
export function stripGeometry(
  row: StripRow,
  expected: number,
  profile: readonly number[],
  frame: StripFrame,
  now: Instant,
  forecast?: StripForecast | null,
): StripGeometry {
  const { strip } = row
  const x = (at: Instant) => xOf(at, frame)
  const base = frame.height - FOOT
  const room = base - SIGNS
  const quarterAt = (q: number) => frame.midnight + q * QUARTER

  let peak = 0
  for (const share of profile) peak = Math.max(peak, share * expected * HEADROOM)
  for (const [, voters] of strip.bars) peak = Math.max(peak, voters)
  const high = (voters: number) => (peak === 0 ? 0 : round((voters / peak) * room))

  const bars = strip.bars
    .filter(
      ([q, voters]) =>
        voters > 0 && quarterAt(q) < now && quarterAt(q + 1) > frame.from && quarterAt(q) < frame.to,
    )
    .map(([q, voters]) => {
      const left = x(quarterAt(q))
      const h = Math.max(1, high(voters))
      return {
        x: left,
        w: round(Math.max(1, x(Math.min(now, quarterAt(q + 1))) - left - 0.8)),
        y: round(base - h),
        h,
      }
    })

  const boxOf = (from: Instant, to: Instant | null) => {
    const left = x(from)
    return { x: left, w: round(Math.max(3, x(Math.min(now, to ?? now)) - left)) }
  }
  const boxes: StripGeometry['boxes'] = []
  const dots: number[] = []
  for (const span of strip.spans) {
    if (span.from > now) continue
    const box = boxOf(span.from, span.to)
    if (span.what === 'silent') for (let d = box.x + 2; d <= box.x + box.w; d += 5) dots.push(round(d))
    else boxes.push({ what: span.what, ...box })
  }
  // Hatching is drawn over the empty box: the slot in use is the news.
  boxes.sort((a, b) => Number(a.what === 'slot') - Number(b.what === 'slot'))

  return {
    base,
    opensX: x(frame.opensAt),
    closesX: x(frame.closesAt),
    nowX: now < frame.from || now > frame.to ? null : x(now),
    setUp: setUpOf(row, now, frame),
    notches: strip.notches.filter(at => at <= now).map(x),
    bars,
    expected: expectedPath(expected, profile, frame, base, high),
    coming: forecast?.turnout ? comingPath(forecast.turnout, forecast.profile, frame, now, base, high) : '',
    ready: forecast?.ready && row.openedAt === null ? readyOf(forecast.ready, frame) : null,
    boxes,
    dots,
    marks: strip.marks.filter(([, at]) => at <= now).map(([what, at]) => ({ what, x: x(at) })),
    tail: tailOf(row, now, frame),
  }
}

function setUpOf(row: StripRow, now: Instant, frame: StripFrame): StripGeometry['setUp'] {
  const from = row.strip.setUpFrom ?? (row.openedAt === null && now > frame.opensAt ? frame.opensAt : null)
  if (from === null || from > now) return null
  const to = Math.min(row.openedAt ?? now, now)
  const left = xOf(from, frame)
  return {
    x: left,
    w: round(Math.max(2, xOf(to, frame) - left)),
    late: row.openedAt === null && now > frame.opensAt,
  }
}

function tailOf(row: StripRow, now: Instant, frame: StripFrame): StripGeometry['tail'] {
  if (row.closedAt === null || row.closedAt > now) return null
  const left = xOf(row.closedAt, frame)
  const received = row.receivedAt !== null && row.receivedAt <= now
  const departed = row.departedAt !== null && row.departedAt <= now
  return {
    x: left,
    w: round(Math.max(2, xOf(received ? row.receivedAt! : now, frame) - left)),
    departedX: departed ? xOf(row.departedAt!, frame) : null,
    received,
  }
}

function readyOf(
  { by10, by50, by90, holding }: NonNullable<StripForecast['ready']>,
  frame: StripFrame,
): StripGeometry['ready'] {
  if (holding === null) return null
  const left = xOf(by10, frame)
  return {
    x: left,
    w: round(Math.max(1, xOf(by90, frame) - left)),
    middleX: xOf(by50, frame),
    late: by50 > frame.opensAt,
  }
}

/** The band per quarter hour from now on: the differences of the fan's points, as the bars are those of counts. */
function comingPath(
  turnout: NonNullable<StripForecast['turnout']>,
  profile: readonly number[],
  frame: StripFrame,
  now: Instant,
  base: number,
  high: (voters: number) => number,
): string {
  const from = turnout.came ?? { at: frame.opensAt, is: 0 }
  const fan = fanOf(profile, frame.midnight, from, frame.closesAt, turnout)
  const upper: string[] = []
  const lower: string[] = []
  for (let i = 1; i < fan.length; i++) {
    const [a, b] = [fan[i - 1]!, fan[i]!]
    const quarters = (b.at - a.at) / QUARTER
    if (b.at <= now || quarters <= 0) continue
    const [left, right] = [xOf(Math.max(now, a.at), frame), xOf(b.at, frame)]
    const top = round(base - high((b.high - a.high) / quarters))
    const foot = round(base - high((b.low - a.low) / quarters))
    upper.push(`${left} ${top}`, `${right} ${top}`)
    lower.unshift(`${right} ${foot}`, `${left} ${foot}`)
  }
  return upper.length === 0 ? '' : `M${[...upper, ...lower].join('L')}Z`
}

function expectedPath(
  expected: number,
  profile: readonly number[],
  frame: StripFrame,
  base: number,
  high: (voters: number) => number,
): string {
  const points: string[] = []
  profile.forEach((share, q) => {
    const middle = frame.midnight + (q + 0.5) * QUARTER
    if (share <= 0 || expected <= 0 || middle < frame.from || middle > frame.to) return
    points.push(`${xOf(middle, frame)} ${round(base - high(share * expected))}`)
  })
  if (points.length === 0) return ''
  const left = xOf(frame.opensAt, frame)
  const right = xOf(frame.closesAt, frame)
  return `M${left} ${base}L${points.join('L')}L${right} ${base}Z`
}
