import { describe, expect, it } from 'vitest'
import type { Identity } from '../../app/live/deviceEnrol.ts'
import { createMemoryKeep } from '../../app/live/deviceKeep.ts'
import {
  changeEnrolments,
  type Enrolment,
  enrolledAlso,
  readEnrolments,
  servedNow,
  takenOff,
} from '../../app/live/enrolments.ts'

const as = (device: string, precinct: string): Identity => ({
  device,
  key: `key-${device}`,
  day: 'ellery',
  precinct,
  upTo: 0,
})
const inShort = (all: readonly Enrolment[]) =>
  all.map(e => `${e.identity.device} ${e.database}${e.ended ? ' ended' : ''}`)

describe('the precincts of one tablet', () => {
  it('P1 a tablet that was enrolled when there could be only one goes on with its key and database', async () => {
    const keep = createMemoryKeep()
    await keep.write('identity', as('d-1', 'seawall'))
    expect(await readEnrolments(keep)).toEqual([
      { identity: as('d-1', 'seawall'), database: 'sunup-precinct' },
    ])
    await changeEnrolments(keep, all => enrolledAlso(all, as('d-2', 'breakwater'), null))
    expect(inShort(await readEnrolments(keep))).toEqual(['d-1 sunup-precinct', 'd-2 sunup-precinct-d-2'])
  })

  it('P1 one that was taken off and is enrolled again for its precinct finds its database again', () => {
    const both = [as('d-1', 'seawall'), as('d-2', 'breakwater')].reduce<Enrolment[]>(
      (all, identity) => enrolledAlso(all, identity, null),
      [],
    )
    const one = takenOff(both, 'd-2')
    expect(servedNow(one).map(e => e.identity.device)).toEqual(['d-1'])
    expect(inShort(enrolledAlso(one, as('d-3', 'breakwater'), null))).toEqual([
      'd-1 sunup-precinct',
      'd-3 sunup-precinct-d-2',
    ])
  })

  it('P1 a new key for the same precinct stands in the place of the one that is no longer accepted', () => {
    const both = enrolledAlso(enrolledAlso([], as('d-1', 'seawall'), null), as('d-2', 'breakwater'), null)
    expect(inShort(enrolledAlso(both, as('d-3', 'seawall'), 'd-1'))).toEqual([
      'd-3 sunup-precinct',
      'd-2 sunup-precinct-d-2',
    ])
  })

  it('P1 a key for another precinct leaves the old one’s database to be found later', () => {
    const moved = enrolledAlso(enrolledAlso([], as('d-1', 'seawall'), null), as('d-2', 'breakwater'), 'd-1')
    expect(inShort(moved)).toEqual(['d-2 sunup-precinct', 'd-1 sunup-precinct ended'])
    expect(inShort(enrolledAlso(moved, as('d-3', 'seawall'), 'd-2'))).toEqual([
      'd-3 sunup-precinct',
      'd-2 sunup-precinct ended',
    ])
  })
})
