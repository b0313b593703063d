import { describe, expect, test } from 'vitest'
import type { Proof, Way } from '@client/procedure/bundle'
import { firstWay, waysOf } from '@client/work/ways'

const reading = (name: string, by?: Way[]): Proof => ({
  name,
  kind: 'reading',
  label: name,
  ...(by && { by }),
})

describe('the ways to take a reading', () => {
  test('are those of the procedure, in its order; without any, the hand', () => {
    expect(waysOf(reading('angle', ['turn', 'marks', 'hand']))).toEqual(['turn', 'marks', 'hand'])
    expect(waysOf(reading('gap'))).toEqual(['hand'])
  })
})

describe('the way that is begun with', () => {
  const note: Way[] = ['pluck', 'hand']
  const proofs = [
    reading('note_set', note),
    reading('note_held', note),
    reading('wheel', ['turn', 'marks', 'hand']),
    reading('angle', ['turn', 'hand']),
    reading('gap'),
    reading('heard', ['pluck']),
  ]
  const bundle = { steps: [{ id: 'tension', proof: proofs }] }
  const taken = (name: string, by?: string) => ({
    entry: { kind: 'reading.taken', body: { step: 'tension', name, ...(by && { by }) } },
  })
  const way = (name: string, ...held: ReturnType<typeof taken>[]) => {
    const proof = proofs.find((one) => one.name === name)!
    return waysOf(proof)[firstWay(proof, { bundle, held } as unknown as Parameters<typeof firstWay>[1])]
  }

  test('is the best, as long as nothing was left for the hand', () => {
    expect(way('note_set')).toBe('pluck')
    expect(way('note_held', taken('note_set', 'pluck'))).toBe('pluck')
  })
  test('is the hand once it was taken in the place of that instrument, and the instrument once that was', () => {
    expect(way('note_held', taken('note_set'))).toBe('hand')
    expect(way('note_held', taken('note_set'), taken('note_held', 'pluck'))).toBe('pluck')
  })
  test('is no other for what another instrument reads, or for what only the hand reads', () => {
    expect(way('angle', taken('note_set'))).toBe('turn')
    expect(way('note_set', taken('gap'))).toBe('pluck')
  })
  test('is the next instrument, where that took the place of the first', () => {
    expect(way('wheel', taken('wheel', 'marks'))).toBe('marks')
    expect(way('angle', taken('wheel', 'marks'))).toBe('hand')
  })
  test('is the only one, whatever was left', () => {
    expect(way('heard', taken('note_set'))).toBe('pluck')
  })
})
