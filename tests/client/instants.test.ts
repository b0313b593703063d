/** An instant is one text on every screen of desk and audit, whatever zone it is read in: as the shared vectors say. */
import { afterEach, describe, expect, it } from 'vitest'
import vectors from '../vectors/instants.json'
import { hourWords, phoneTimeWords, timeWords } from '@client/work/format'

describe('an instant', () => {
  const zone = process.env.TZ
  afterEach(() => {
    process.env.TZ = zone
  })
  it.each(['UTC', 'Asia/Tokyo', 'America/St_Johns'])('is told alike in %s', (read) => {
    process.env.TZ = read
    for (const [at = '', says, hour] of vectors.instants)
      expect([timeWords(at), hourWords(at)]).toEqual([says, hour])
  })
})

describe('a time on the phone', () => {
  const zone = process.env.TZ
  afterEach(() => {
    process.env.TZ = zone
  })
  // Offsets of the IANA time zone database: summer time in Berlin, half an hour in St John's, none in Reykjavik.
  it.each([
    ['Europe/Berlin', '24 Jun 2026 12:58 UTC+02:00'],
    ['America/St_Johns', '24 Jun 2026 08:28 UTC-02:30'],
    ['Atlantic/Reykjavik', '24 Jun 2026 10:58 UTC'],
  ])('is by its own clock, and names its zone: %s', (read, says) => {
    process.env.TZ = read
    expect(phoneTimeWords('2026-06-24T10:58:38.000Z')).toBe(says)
  })
})
