/** Photos of a job and across jobs: none is left out, and what was asked for stands in the address. */
import { describe, expect, it } from 'vitest'
import { oddWords } from '@client/screens/photos/oddities'
import { allPhotos, fileNameOf, photoOfEntry, refOf } from '@client/work/photo-list'
import {
  addressOf,
  askedWords,
  editionsOf,
  enginesOf,
  photoStepsOf,
  wishOf,
} from '@client/work/photo-question'
import { jobRecord } from '@client/work/record'
import type { Held } from '@client/store'
import { bundle, Log, row } from './baywork'

const photo = (step: string, name = 'seen') =>
  ({
    step,
    name,
    blob: `${step}${name}`.padEnd(64, '0'),
    size: 9,
    type: 'image/jpeg',
    width: 0,
    height: 0,
    how: 'live',
  }) as const

const recordOf = (log: Log) => jobRecord(row, bundle, log.held, [])

describe('the photos of a job', () => {
  it('stand in the order of the steps, ways back behind them, and last what no step knows', () => {
    const log = new Log()
    for (const step of ['unheard_of', 'pin_again', 'torque', 'pin_in']) log.add('photo.taken', photo(step))
    const found = allPhotos(recordOf(log)).map(({ photo: { body }, step }) => [body.step, step === null])
    expect(found).toEqual([
      ['pin_in', false],
      ['torque', false],
      ['pin_again', false],
      ['unheard_of', true],
    ])
  })

  it('are found by their entries, each as often as it was taken', () => {
    const log = new Log()
    const first = log.add('photo.taken', photo('torque'))
    const again = log.add('photo.taken', photo('torque'))
    const record = recordOf(log)
    expect([first, again].map((entry) => photoOfEntry(record, entry)?.isEarlier)).toEqual([true, false])
    expect(refOf(photoOfEntry(record, again)!)).toMatchObject({ job: 'job', entry: again })
    expect(photoOfEntry(record, 'another')).toBe(null)
  })

  it('are saved under names that say nothing of the customer', () => {
    expect(fileNameOf(photo('torque'), 'image/jpeg')).toBe('torque-seen-torqueseen00.jpeg')
  })

  it('may be asked about by name: the question stands at the step, on the desk and on the phone', () => {
    const log = new Log()
    const taken = log.add('photo.taken', photo('pin_in', 'pin'))
    log.add('review.returned', { step: 'pin_in', question: { blob: 'q' }, photo: taken })
    const [asked] = recordOf(log).steps.find(({ step }) => step.id === 'pin_in')!.questions
    expect([asked?.photo?.held.entry.id, asked?.photo?.label]).toEqual([taken, 'pin'])
    expect(log.now().questions.map((each) => each.photo)).toEqual(['pin'])
  })
})

describe('how a reading was taken', () => {
  it('stands with it: by which instrument, or by eye', () => {
    const log = new Log()
    log.torque()
    log.add('reading.taken', { step: 'torque', name: 'torque', value: '26', unit: 'N·m', by: 'turn' })
    const { readings } = recordOf(log).steps.find(({ step }) => step.id === 'torque')!
    expect(readings.map(({ taken }) => taken)).toEqual(['eye', 'turn'])
  })
})

describe('what photos are asked for', () => {
  it('stands in the address, and nothing else does', () => {
    const wish = { step: 'belt_on', since: '2026-11-01', person: 'a b&c' }
    expect(wishOf(addressOf(wish))).toEqual(wish)
    expect(wishOf('step=belt_on&jobs=all&until=')).toEqual({ step: 'belt_on' })
    expect(wishOf(null)).toEqual({})
  })

  it('is said in words, by what may be chosen', () => {
    const labels = Object.fromEntries(
      ['step', 'bundle', 'engine_code', 'person', 'standing', 'sharp', 'since', 'until'].map((name) => [
        name,
        name.toUpperCase(),
      ]),
    ) as Parameters<typeof askedWords>[1]
    const choices = { step: [{ value: 'belt_on', words: 'Belt on' }] }
    expect(askedWords({ since: '2026-11-01', step: 'belt_on' }, labels, choices)).toBe(
      'STEP: Belt on, SINCE: 2026-11-01',
    )
  })

  it('is chosen from every edition that was published, by whoever might', () => {
    const published = (sha: string, edition: number, standing: Held['standing'] = 'good') =>
      ({
        standing,
        entry: {
          kind: 'bundle.published',
          body: { bundle: sha, name: 'Small', edition, engine_codes: ['B', 'A'] },
        },
      }) as unknown as Held
    const editions = editionsOf([published('1', 1), published('2', 2), published('3', 3, 'doubted')])
    expect(editions.map(({ edition }) => edition)).toEqual([1, 2])
    expect(enginesOf(editions).map(({ value }) => value)).toEqual(['A', 'B'])
    const photos = { ...bundle.steps[0]!, proof: [{ name: 'p', kind: 'photo', label: 'p' } as const] }
    expect(photoStepsOf([{ ...bundle, steps: [photos, bundle.steps[1]!] }, bundle])).toEqual([
      { value: photos.id, words: photos.title },
    ])
  })
})

describe('what is odd about a photo', () => {
  const fine = { standing: 'good', how: 'live', quality: undefined, isDamaged: false } as const
  it('stands under it, worst first, and nothing where nothing is', () => {
    expect(oddWords(fine)).toEqual([])
    const quality = { sharp_tenths: 100, mean: 120, blown_permille: 0 }
    const all = oddWords({ standing: 'forked', how: 'picked', quality, isDamaged: true })
    expect(all[0]).toContain('Altered or missing')
    expect(all).toHaveLength(4)
    expect(oddWords({ ...fine, quality: { ...quality, sharp_tenths: 500 } })).toEqual([])
  })
})
