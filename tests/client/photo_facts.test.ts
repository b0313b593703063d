/** What is said of a photo as evidence: never more than its record, its standing and its compared bytes allow. */
import { describe, expect, it } from 'vitest'
import { sharpnessWords } from '@client/screens/record/photo-sharpness'
import { clockWords, proofWords, stampOf } from '@client/work/photo-facts'
import type { PhotoRecord } from '@client/work/record'
import type { Held } from '@client/store'

const body = {
  step: 'belt_on',
  name: 'drive',
  blob: 'ab'.repeat(32),
  size: 9,
  type: 'image/jpeg',
  width: 4000,
  height: 3000,
  how: 'live',
} as const

const photo = (held: Partial<Held>, how: 'live' | 'picked' = 'live'): Pick<PhotoRecord, 'held' | 'body'> => ({
  held: { index: 7, standing: 'good', ...held } as Held,
  body: { ...body, how },
})

describe('what a photo proves', () => {
  it('is the picture, where its bytes were compared, and else its record alone', () => {
    expect(proofWords(photo({}), 'same').proves).toContain('this very picture')
    for (const compared of ['coming', 'not-here'] as const)
      expect(proofWords(photo({}), compared).proves).toContain('is not here to be compared')
  })

  it('is never told of bytes that are not those which were signed', () => {
    for (const standing of ['good', 'doubted', 'forked', 'gap'] as const)
      expect(proofWords(photo({ standing }), 'damaged').proves).toContain('prove nothing')
  })

  it('is less where its entry does not stand good, and nothing before it came in', () => {
    const said = (['doubted', 'forked', 'gap'] as const).map(
      (standing) => proofWords(photo({ standing }), 'same').proves,
    )
    expect(new Set([...said, proofWords(photo({}), 'same').proves]).size).toBe(4)
    expect(proofWords(photo({ index: null }), 'same').proves).toContain('nothing to others yet')
  })

  it('says of a picked one that it need not be of this step', () => {
    expect(proofWords(photo({}, 'picked'), 'same').not).toContain('picked')
    expect(proofWords(photo({}), 'same').not).not.toContain('picked')
  })
})

describe('its clocks', () => {
  it('are read off the stamp that the workshop put before its entry', () => {
    expect(stampOf('2026-11-24T12:00:00.000Z -90000 sig {"at":1}')).toEqual({
      received: '2026-11-24T12:00:00.000Z',
      offsetMs: -90_000,
    })
    expect(stampOf('2026-11-24T12:00:00.000Z ? sig {}').offsetMs).toBe(null)
  })

  it.each([
    [null, 'not measured'],
    [-400, 'less than a second'],
    [1_000, '1 second ahead of'],
    [-90_000, '90 seconds behind'],
    [7_200_000, '120 minutes ahead of'],
  ])('off by %s ms are told as %s', (offsetMs, says) => {
    expect(clockWords({ received: '', offsetMs })).toContain(says)
  })
})

describe('its sharpness', () => {
  it('is told as the phone judged it, with its figures, or not at all', () => {
    const quality = { sharp_tenths: 249, mean: 120, blown_permille: 5 }
    expect(sharpnessWords({ ...body, quality })).toMatch(/looks blurred.*24\.9.*120.*0\.5 %/)
    expect(sharpnessWords(body)).toContain('could not tell')
    expect(sharpnessWords({ ...body, how: 'picked' })).toContain('picked')
  })
})
