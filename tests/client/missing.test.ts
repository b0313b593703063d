/** Why a photo is not shown: each reason has words of its own, and none is told as another. */
import { expect, test } from 'vitest'
import type { Held } from '@client/store'
import { erasureOf, missingWords } from '@client/screens/record/photo-missing'

const BLOB = 'ab'.repeat(32)
const said = (kind: string, body: object, more: object = {}) =>
  ({
    entry: { id: `${kind} id`, kind, body, person: 'p1', at: '2026-11-24T12:00:00.000Z' },
    standing: 'good',
    ...more,
  }) as unknown as Held

const why = { reason: 'asked for by the customer', basis: 'GDPR 17' }
const ordered = said('erasure.ordered', { blobs: [BLOB], ...why })
const erased = said('blob.erased', { blob: BLOB, reason: 'carried out', basis: 'order' }, {})
const by = { by: 'Ada Weir' }

test('five reasons, five sentences', () => {
  const erasure = { ...erasureOf([ordered, erased], BLOB)!, ...by }
  const words = [
    missingWords('no-line', null),
    missingWords('not-there', null),
    missingWords('damaged', null),
    missingWords('no-picture', null),
    missingWords('not-there', erasure),
  ]
  expect(new Set(words.map(({ short }) => short)).size).toBe(5)
  expect(new Set(words.map(({ whole }) => whole)).size).toBe(5)
})

test('without a line nothing is said of the photo itself', () => {
  expect(missingWords('no-line', null).whole).not.toMatch(/erased|altered|not reached/)
})

test('an erasure is told with who, why and on what basis, and without a line, too', () => {
  const erasure = { ...erasureOf([ordered, erased], BLOB)!, ...by }
  for (const missing of ['not-there', 'no-line'] as const) {
    const { whole } = missingWords(missing, erasure)
    expect(whole).toContain('by Ada Weir')
    expect(whole).toContain('asked for by the customer')
    expect(whole).toContain('GDPR 17')
  }
})

test('an altered photo is never told as an erased one', () => {
  expect(missingWords('damaged', { ...erasureOf([ordered], BLOB)!, ...by }).short).toBe(
    'altered or missing in the workshop',
  )
})

test('an order that was withdrawn, or that nobody had the right to, is no erasure', () => {
  expect(erasureOf([ordered, said('erasure.withdrawn', { order: ordered.entry.id })], BLOB)).toBeNull()
  expect(erasureOf([{ ...ordered, standing: 'doubted' } as Held], BLOB)).toBeNull()
  expect(erasureOf([ordered], 'cd'.repeat(32))).toBeNull()
})

test('an order that waits is told as one that waits', () => {
  expect(erasureOf([ordered], BLOB)).toMatchObject({ isOrdered: true, reason: why.reason })
  expect(erasureOf([ordered, erased], BLOB)).toMatchObject({ isOrdered: false, reason: why.reason })
  expect(erasureOf([erased], BLOB)).toMatchObject({ isOrdered: false, reason: 'carried out' })
})
