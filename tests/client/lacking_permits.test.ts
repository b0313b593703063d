/** Who may do what: held to where the workshop states such permits, and nowhere else. */
import { describe, expect, it } from 'vitest'
import type { Step } from '@client/procedure/bundle'
import type { Held } from '@client/store'
import { permitNote } from '@client/procedure/machine'
import { isPassed, lackingPermit, mayBePassed, withoutAnswers } from '@client/work/lacking-permits'
import type { StepNow } from '@client/work/job'

const stated = (...bodies: object[]) =>
  bodies.map((body, n) => ({
    entry: { id: `p${n}`, kind: 'permit.given', body, at: '2026-01-01T08:00:00.000Z' },
    standing: 'good',
  })) as unknown as Held[]
const given = { person: 'ada', permit: 'road_test', on: '2026-01-01', until: '2026-11-24' }

describe('a permit', () => {
  const lacks = (person: string, today: string, ...bodies: object[]) =>
    lackingPermit('road_test', stated(...bodies), person, today)

  it('is asked of nobody where the workshop never stated one of its sort', () => {
    expect(lacks('bela', '2026-11-24')).toBeNull()
    expect(lacks('bela', '2026-11-24', { ...given, permit: 'lifts' })).toBeNull()
  })
  it('lets its holder go on to its last day, and nobody else', () => {
    expect(lacks('ada', '2026-11-24', given)).toBeNull()
    expect(lacks('bela', '2026-11-24', given)).toMatchObject({ own: null, holders: ['ada'] })
    expect(lacks('ada', '2026-11-25', given)).toMatchObject({ own: { until: '2026-11-24' }, holders: [] })
  })
  it('stays asked for once the last one is over', () => {
    expect(lacks('bela', '2027-06-01', given)).toMatchObject({ holders: [] })
  })
  it('is gone on without at one step by a reason of this person; never where it is high voltage', () => {
    const note = (person: string, step: string) =>
      [
        { entry: { kind: 'note.added', person, body: { step, name: permitNote('road_test') } } },
      ] as unknown as Held[]
    const step = { id: 'drive' } as Step
    expect(isPassed(note('bela', 'drive'), step, 'road_test', 'bela')).toBe(true)
    expect(isPassed(note('ada', 'drive'), step, 'road_test', 'bela')).toBe(false)
    expect(isPassed(note('bela', 'raise'), step, 'road_test', 'bela')).toBe(false)
    expect([mayBePassed('road_test'), mayBePassed('high_voltage')]).toEqual([true, false])
  })
  it('that an answer asks for makes it prove nothing without, and no other answer', () => {
    const options = [
      { id: 'none', says: 'none', ok: true },
      { id: 'isolated', says: 'isolated', ok: true, permit: 'high_voltage' },
    ]
    const proof = [{ name: 'drive', kind: 'choice', label: 'drive', options }]
    const asked = { step: { proof }, proofs: [{ proof: proof[0] }] } as unknown as StepNow
    const oks = (lacking: boolean) =>
      withoutAnswers(asked, () => lacking).proofs[0]!.proof.options!.map(({ ok }) => ok)
    expect([oks(true), oks(false)]).toEqual([
      [true, false],
      [true, true],
    ])
  })
})
