import { describe, expect, test } from 'vitest'
import type { Person } from '../../../server/access/access.ts'
import type { Decided, Deciding } from '../../../server/commands/decide.ts'
import {
  acceptErrand,
  arriveOnSite,
  finishErrand,
  giveBackErrand,
  sendRover,
  setOut,
} from '../../../server/commands/errands.ts'
import { forgetEnded, isOpenErrand, joinErrands } from '../../../server/domain/day/errand.ts'
import { type Errand, type ErrandStanding, LIMITS } from '../../../server/domain/day/state.ts'
import type { ErrandKind } from '../../../server/domain/log/kindsOfErrand.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, desk, type Given, given, givenPlan, type Said } from '../../support/given.ts'

/** Errand `e-1` of rover R-1 to Harbor, sent by the desk. */
const sent = desk('E-01', '09:00', 'RoverAssigned', { errand: 'e-1', rover: 'R-1' })
type Move = Exclude<ErrandKind, 'RoverAssigned'>
const step = (time: string, kind: Move, errand = 'e-1', precinct = 'E-01'): Said =>
  desk(precinct, time, kind, { errand, rover: 'R-1' })

const accepted = step('09:02', 'RoverAccepted')
const onTheWay = step('09:05', 'RoverOnTheWay')
const arrived = step('09:25', 'RoverArrived')
const finished = step('09:40', 'RoverFinished')
const gaveBack = step('09:41', 'RoverGaveBack')

const errandOf = (day: Given, id = 'e-1') => day.state.errands.get(id)

/** Harbor and Mill share a place: one line, one visit. */
const sharing = aPlan({
  precincts: aPlan().precincts.map(p => (p.code === 'E-02' ? { ...p, place: 'PL-01' } : p)),
})

const imre: Person = { id: 'p-imre', name: 'Imre', role: 'desk' }
const one: Person = { id: 'p-one', name: 'One', role: 'rover', post: 'R-1' }
const two: Person = { id: 'p-two', name: 'Two', role: 'rover', post: 'R-2' }
const unposted: Person = { id: 'p-new', name: 'New', role: 'rover', post: null }

/** Decides at 10:00 on the state of a day; a minute of the wall is `speed` minutes of the day. */
function deciding(day: Given, person: Person, speed = 1): Deciding {
  return {
    state: day.state,
    index: day.index,
    person,
    id: 'e-9',
    now: at('10:00'),
    elapsed: agoMs => agoMs * speed,
    nameOf: id => id,
  }
}
const refusalOf = (decided: Decided) => ('refusal' in decided ? decided.refusal : null)
const entriesOf = (decided: Decided) => {
  if ('refusal' in decided) throw new Error(`refused: ${decided.refusal.message}`)
  return decided.entries
}

describe('an errand in the fold', () => {
  test('is assigned, accepted, on the way, on site and done, each with its instant', () => {
    expect(errandOf(given(sent))).toEqual({
      id: 'e-1',
      rover: 'R-1',
      precinct: 'E-01',
      by: 'ada',
      is: 'assigned',
      assignedAt: at('09:00'),
      acceptedAt: null,
      onTheWayAt: null,
      onSiteAt: null,
      endedAt: null,
      position: 1,
      touchedAt: 1,
    })
    const day = given(sent, accepted, onTheWay, arrived, finished)
    expect(errandOf(day)).toMatchObject({
      is: 'done',
      acceptedAt: at('09:02'),
      onTheWayAt: at('09:05'),
      onSiteAt: at('09:25'),
      endedAt: at('09:40'),
      position: 1,
      touchedAt: 5,
    })
  })

  test('stands as its last step says, whichever were left out; what nobody said stays unknown', () => {
    expect(errandOf(given(sent, arrived))).toMatchObject({
      is: 'on-site',
      acceptedAt: null,
      onTheWayAt: null,
      onSiteAt: at('09:25'),
    })
    expect(errandOf(given(sent, onTheWay))).toMatchObject({ is: 'on-the-way', acceptedAt: null })
  })

  test('is moved by nothing once it has ended', () => {
    const done = given(sent, arrived, finished, gaveBack, onTheWay)
    expect(errandOf(done)).toMatchObject({ is: 'done', endedAt: at('09:40'), onTheWayAt: null, touchedAt: 3 })
    const back = given(sent, gaveBack, arrived)
    expect(errandOf(back)).toMatchObject({ is: 'given-back', onSiteAt: null })
    expect(back.row('E-01').strip.marks).toEqual([])
  })

  test('of an unknown id, or of a precinct outside the plan, changes nothing and throws nothing', () => {
    const day = given(
      step('09:01', 'RoverArrived', 'e-none'),
      desk('E-77', '09:02', 'RoverAssigned', { errand: 'e-2', rover: 'R-1' }),
    )
    expect(day.state.errands.size).toBe(0)
    expect(day.state.cursor).toBe(2)
  })

  test('leaves the day’s errands another map, and every errand that didn’t move the same', () => {
    const other = desk('E-03', '09:01', 'RoverAssigned', { errand: 'e-2', rover: 'R-2' })
    const before = given(sent, other)
    const kept = errandOf(before, 'e-2')
    const map = before.state.errands
    const after = given(sent, other, accepted)
    expect(errandOf(after, 'e-2')).toEqual(kept)
    expect(map.get('e-1')!.is).toBe('assigned')
  })

  test('its arrival leaves the sign of a visit on the strip, and touches the row', () => {
    const day = given(sent, accepted, arrived)
    expect(day.row('E-01').strip.marks).toEqual([['visit', at('09:25')]])
    expect(day.row('E-01').touchedAt).toBe(3)
    expect(day.row('E-02').strip.marks).toEqual([])
  })

  test('one visit is marked on every precinct of the place, so that each of their rows is sent anew', () => {
    const day = givenPlan(sharing, sent, arrived)
    for (const code of ['E-01', 'E-02']) {
      expect(day.row(code).strip.marks).toEqual([['visit', at('09:25')]])
      expect(day.row(code).touchedAt).toBe(2)
    }
    expect(day.row('E-03').strip.marks).toEqual([])
  })

  test('says nothing of whether the precinct was heard', () => {
    expect(given(sent, arrived).p('E-01').heardAt).toBeNull()
  })

  test('open ones are all kept; of ended ones those that were assigned first are left out', () => {
    const many = new Map<string, Errand>()
    const base = errandOf(given(sent))!
    for (let i = 0; i < LIMITS.errands + 5; i++)
      many.set(`e-${i}`, { ...base, id: `e-${i}`, is: i < 3 || i > 5 ? 'done' : 'on-site' })
    forgetEnded(many)
    expect(many.size).toBe(LIMITS.errands)
    expect([...many.keys()].slice(0, 4)).toEqual(['e-3', 'e-4', 'e-5', 'e-8'])
  })

  test('P4: a board that gets what changed has the errands of the fold', () => {
    const steps = [
      sent,
      accepted,
      desk('E-03', '09:03', 'RoverAssigned', { errand: 'e-2', rover: 'R-2' }),
      arrived,
    ]
    let board: readonly Errand[] = []
    let seen = 0
    for (let n = 1; n <= steps.length; n++) {
      const { state } = given(...steps.slice(0, n))
      const changed = [...state.errands.values()].filter(e => e.touchedAt > seen)
      board = joinErrands(board, changed)
      seen = state.cursor
      expect(board).toEqual([...state.errands.values()])
    }
  })
})

describe('sending a rover', () => {
  const toHarbor = { rover: 'R-1', precinct: 'E-01' }

  test('makes an errand that has the command’s own id, with the words kept apart', () => {
    const [entry] = entriesOf(sendRover({ ...toHarbor, what: 'spare tabulator' }, deciding(given(), imre)))
    expect(entry).toMatchObject({
      kind: 'RoverAssigned',
      precinct: 'E-01',
      occurredAt: at('10:00'),
      origin: { via: 'desk', wrote: 'p-imre' },
      body: { errand: 'e-9', rover: 'R-1' },
      detail: { what: 'spare tabulator' },
    })
    expect(entry!.body).not.toHaveProperty('what')
  })

  test('is refused where the plan knows no such precinct or rover', () => {
    const at = deciding(given(), imre)
    expect(refusalOf(sendRover({ rover: 'R-1', precinct: 'E-77' }, at))?.reason).toBe('unknown-precinct')
    expect(refusalOf(sendRover({ rover: 'R-9', precinct: 'E-01' }, at))?.reason).toBe('unknown-rover')
  })

  test('a second one to the same place is refused and names who is on it', () => {
    const refusal = refusalOf(sendRover({ rover: 'R-2', precinct: 'E-01' }, deciding(given(sent), imre)))
    expect(refusal).toMatchObject({ reason: 'already-taken', by: 'Rover one' })
    expect(refusal!.message).toBe('Rover one is on an errand to Harbor Hall already')
  })

  test('a second one to another precinct of the place is refused too: one visit serves them all', () => {
    const toMill = sendRover({ rover: 'R-2', precinct: 'E-02' }, deciding(givenPlan(sharing, sent), imre))
    expect(refusalOf(toMill)?.reason).toBe('already-taken')
    expect(
      entriesOf(sendRover({ rover: 'R-2', precinct: 'E-03' }, deciding(givenPlan(sharing, sent), imre))),
    ).toHaveLength(1)
  })

  test.each([
    ['given back', [sent, gaveBack]],
    ['finished', [sent, arrived, finished]],
  ])('the place is free again once the errand is %s', (_, said) => {
    expect(
      entriesOf(sendRover({ rover: 'R-2', precinct: 'E-01' }, deciding(given(...said), imre))),
    ).toHaveLength(1)
  })

  test('one rover may be given several errands, to several places', () => {
    expect(
      entriesOf(sendRover({ rover: 'R-1', precinct: 'E-03' }, deciding(given(sent), imre))),
    ).toHaveLength(1)
  })
})

describe('moving an errand', () => {
  const e1 = { errand: 'e-1' }
  const moves = {
    RoverAccepted: acceptErrand,
    RoverOnTheWay: setOut,
    RoverArrived: arriveOnSite,
    RoverFinished: finishErrand,
    RoverGaveBack: giveBackErrand,
  } as const
  const standings: Record<ErrandStanding, Said[]> = {
    assigned: [sent],
    accepted: [sent, accepted],
    'on-the-way': [sent, onTheWay],
    'on-site': [sent, arrived],
    done: [sent, arrived, finished],
    'given-back': [sent, gaveBack],
  }
  /** y: an entry; =: it is so already, nothing is written; n: refused. */
  const table: Record<Move, string> = {
    RoverAccepted: 'y=nnnn',
    RoverOnTheWay: 'yy=nnn',
    RoverArrived: 'yyy=nn',
    RoverFinished: 'nnny=n',
    RoverGaveBack: 'yyyyn=',
  }
  const cases = (Object.keys(moves) as Move[]).flatMap(kind =>
    (Object.keys(standings) as ErrandStanding[]).map((is, i) => [kind, is, table[kind][i]!] as const),
  )

  test.each(cases)('%s of one that is %s: %s', (kind, is, wanted) => {
    const decided = moves[kind](e1, deciding(given(...standings[is]), one))
    if (wanted === 'n') {
      expect(refusalOf(decided)?.reason).toBe('other-state')
      expect(refusalOf(decided)?.message).toMatch(/^this errand is /)
    } else expect(entriesOf(decided).map(e => e.kind)).toEqual(wanted === '=' ? [] : [kind])
  })

  test('what is decided is what the fold lets happen: each allowed step moves it, and only those', () => {
    for (const [kind, is, wanted] of cases) {
      const day = given(...standings[is], step('09:50', kind))
      const moved = errandOf(day)!.touchedAt === day.state.cursor
      if (wanted === 'y') expect(moved, `${kind} of ${is}`).toBe(true)
      if (is === 'done' || is === 'given-back') expect(moved, `${kind} of ${is}`).toBe(false)
    }
  })

  test('P14: a rover moves their own errand alone; the desk and supervisors move any', () => {
    for (const decide of [acceptErrand, setOut, arriveOnSite, giveBackErrand]) {
      expect(refusalOf(decide(e1, deciding(given(sent), two)))?.reason).toBe('not-yours')
      expect(refusalOf(decide(e1, deciding(given(sent), unposted)))?.reason).toBe('not-yours')
      expect(entriesOf(decide(e1, deciding(given(sent), imre)))).toHaveLength(1)
      expect(entriesOf(decide(e1, deciding(given(sent), { ...imre, role: 'supervisor' })))).toHaveLength(1)
    }
    expect(refusalOf(finishErrand(e1, deciding(given(sent, arrived), two)))?.reason).toBe('not-yours')
  })

  test('the entry names the errand’s rover and precinct, whoever gave the command', () => {
    const [entry] = entriesOf(arriveOnSite(e1, deciding(given(sent), imre)))
    expect(entry).toMatchObject({
      precinct: 'E-01',
      body: { errand: 'e-1', rover: 'R-1' },
      origin: { wrote: 'p-imre' },
    })
  })

  test('an unknown errand is refused', () => {
    expect(refusalOf(setOut({ errand: 'e-2' }, deciding(given(sent), one)))?.reason).toBe('unknown-errand')
  })

  test('a note and the reason for giving back are words that can be erased', () => {
    const [done] = entriesOf(
      finishErrand({ ...e1, note: 'works again' }, deciding(given(sent, arrived), one)),
    )
    expect(done).toMatchObject({ detail: { note: 'works again' }, body: { errand: 'e-1', rover: 'R-1' } })
    const [back] = entriesOf(giveBackErrand({ ...e1, why: 'the ferry is full' }, deciding(given(sent), one)))
    expect(back).toMatchObject({ detail: { why: 'the ferry is full' } })
    expect(back!.body).not.toHaveProperty('why')
  })

  test('a tap that waited for the link counts when it was made, by the day’s own speed', () => {
    const late = (agoSeconds: number, speed?: number) =>
      entriesOf(arriveOnSite({ ...e1, agoSeconds }, deciding(given(sent, accepted), one, speed)))[0]!
        .occurredAt
    expect(late(0)).toBe(at('10:00'))
    expect(late(600)).toBe(at('09:50'))
    expect(late(60, 10)).toBe(at('09:50'))
  })

  test('P7: but never before the step that came before it, however wrong the phone’s clock', () => {
    const [entry] = entriesOf(
      arriveOnSite({ ...e1, agoSeconds: 43_200 }, deciding(given(sent, accepted), one)),
    )
    expect(entry!.occurredAt).toBe(at('09:02'))
    const future = given(sent, step('10:02', 'RoverAccepted'))
    expect(entriesOf(arriveOnSite(e1, deciding(future, one)))[0]!.occurredAt).toBe(at('10:00'))
    expect(at('10:02') - at('10:00')).toBe(2 * MINUTE)
  })
})

test('an errand is open until it is done or given back', () => {
  const open = (is: ErrandStanding) => isOpenErrand({ is })
  expect(['assigned', 'accepted', 'on-the-way', 'on-site'].every(is => open(is as ErrandStanding))).toBe(true)
  expect(open('done') || open('given-back')).toBe(false)
})
