import { describe, expect, it } from 'vitest'
import { foldAsHappened, foldUntil } from '../../../server/domain/day/fold.ts'
import { initialDay } from '../../../server/domain/day/initial.ts'
import { rowOf } from '../../../server/domain/day/rowOf.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { differencesOf } from '../../../server/domain/review/differences.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at, entriesOf, iso, raised, type Said, says, system } from '../../support/given.ts'

const index = indexOf(aPlan(), DAY)
function differ(time: string, ...said: Said[]) {
  const entries = entriesOf(said)
  const rows = (state: ReturnType<typeof initialDay>) =>
    [...state.precincts.values()].map(p => rowOf(p, index))
  return differencesOf(
    rows(foldUntil(initialDay(DAY, index), entries, index, at(time))),
    rows(foldAsHappened(initialDay(DAY, index), entries, index, at(time))),
  )
}

describe('what was not known then', () => {
  const tabletThatCameBackLate = [
    says('E-01', '06:30', 'PollsOpened', {}),
    says('E-02', '06:31', 'PollsOpened', {}, { recorded: '08:00' }),
    says('E-02', '07:10', 'EquipmentWentDown', { equipment: 'T-02' }, { recorded: '08:00' }),
    says('E-02', '07:11', 'EmergencySlotOpened', {}, { recorded: '08:00' }),
    says('E-02', '07:40', 'CountsReported', { checkedIn: 30 }, { recorded: '08:00' }),
  ]

  it('names precincts and fields that stood otherwise, and leaves those that were known', () => {
    expect(differ('07:30', ...tabletThatCameBackLate)).toEqual([
      { code: 'E-02', what: ['standing', 'opened', 'slot', 'equipment'] },
    ])
    expect(differ('07:45', ...tabletThatCameBackLate)[0]!.what).toContain('checked in')
  })

  it('is nothing once all of it was recorded, nor before it happened', () => {
    expect(differ('08:00', ...tabletThatCameBackLate)).toEqual([])
    expect(differ('06:30', ...tabletThatCameBackLate)).toEqual([])
  })

  it('leaves the system’s verdicts aside: silence and reasons are no difference', () => {
    expect(
      differ(
        '07:10',
        says('E-01', '06:30', 'PollsOpened', {}),
        system('E-01', '07:00', 'PrecinctFellSilent', { heardAt: iso('06:55'), silentAt: iso('07:00') }),
        raised('E-01', '07:00', 'silent'),
      ),
    ).toEqual([])
  })
})
