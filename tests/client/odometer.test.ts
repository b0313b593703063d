/** An odometer as people type it. Miles against NIST SP 811 (2008), appendix B.8: 1 mile is 1.609 344 km. */
import { expect, it } from 'vitest'
import { MOST_KM, odometer } from '@client/work/odometer'

it.each(['181220', '181,220', '181.220', '181 220', '181\u202f220', "181'220", ' 181 220 '])(
  'takes %s as it was typed',
  (typed) => {
    expect(odometer(typed, false)).toEqual({ km: 181_220 })
  },
)

it.each(['18,12', '181,22', '181220.5', '-5', '181k', '1,81,220'])('says that %s is no figure', (typed) => {
  expect(odometer(typed, false)).toEqual({ wrong: 'noNumber' })
})

it('turns miles into kilometres', () => {
  expect(odometer('1000', true)).toEqual({ km: 1609 })
  expect(odometer('100,000', true)).toEqual({ km: 160_934 })
})

it('has a limit, and says nothing of an empty line but that it is empty', () => {
  expect(odometer(String(MOST_KM), false)).toEqual({ km: MOST_KM })
  expect(odometer('9999999', false)).toEqual({ wrong: 'tooFar' })
  expect(odometer('1,900,000', true)).toEqual({ wrong: 'tooFar' })
  expect(odometer(' ', false)).toEqual({ wrong: 'none' })
})
