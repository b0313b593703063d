/** Orders to erase at the owners' desk: what is told, what is signed. */
import type { ErasuresAnswer, OrderRow } from '@client/ledger/answers'
import { describe, expect, test } from 'vitest'
import { checkBody } from '@client/ledger/forms'
import {
  checkDays,
  checkOrder,
  checkRule,
  erasableOf,
  erasureLines,
  stateWords,
} from '@client/screens/desk/erasing'
import type { Held } from '@client/store'

const row: OrderRow = {
  order: 'o',
  at: '2026-11-29T12:00:00.000Z',
  person: 'p',
  device: 'd',
  reason: 'the customer asked',
  basis: 'GDPR 17',
  due: '2026-12-06T12:00:00.000Z',
  state: 'waits',
  is_hastened: false,
  may_hasten: false,
  because: null,
  blobs: 2,
  left: 2,
  jobs: [],
}
const rule = { delay_days: 7, blobs_a_day: 500 }
const sha = (digit: string) => digit.repeat(64)
const held = (kind: string, body: object) => ({ entry: { kind, body } }) as unknown as Held

describe('what all owners are told first', () => {
  const told = (over: Partial<ErasuresAnswer>) => erasureLines({ orders: [], rule, coming: [], ...over })

  test('each order that waits, and each rule that comes; nothing that is settled', () => {
    expect(told({ orders: [row, { ...row, state: 'withdrawn' }, { ...row, state: 'carried-out' }] })).toEqual(
      ['2 values and photos are ordered erased on 6 Dec 2026: the customer asked'],
    )
    expect(told({ orders: [{ ...row, blobs: 1 }] })).toEqual([
      '1 value or photo is ordered erased on 6 Dec 2026: the customer asked',
    ])
    expect(told({ coming: [{ rule: 'r', begins: row.due, delay_days: 1, blobs_a_day: 9 }] })).toEqual([
      'From 6 Dec 2026 on, what is ordered erased goes after 1 day, no more than 9 values and photos a day',
    ])
  })

  test('many orders are one line: nobody overlooks the jobs for them', () => {
    const orders = Array.from({ length: 9 }, (_, n) => ({
      ...row,
      order: `${n}`,
      due: `2026-12-0${9 - n}T12:00:00.000Z`,
    }))
    expect(told({ orders })).toEqual([
      '9 erasures are ordered, of 18 values and photos; the first on 1 Dec 2026',
    ])
  })

  test('each state in a sentence', () => {
    expect(stateWords(row)).toBe('To be erased from 6 Dec 2026 on. Until then any owner withdraws it.')
    expect(stateWords({ ...row, is_hastened: true })).toBe('To be erased now.')
    expect(stateWords({ ...row, state: 'withdrawn', because: 'a mistake' })).toBe('Withdrawn: a mistake')
    expect(stateWords({ ...row, state: 'carried-out' })).toBe('Erased. The record of it stays.')
  })
})

test('of a job private values and files are told apart, each once, and never its procedure', () => {
  const found = erasableOf([
    held('job.opened', {
      bundle: sha('a'),
      vin: { blob: sha('b') },
      plate: { blob: sha('c') },
      odometer_km: 1,
    }),
    held('note.added', { text: { blob: sha('b') } }),
    held('photo.taken', { blob: sha('d'), size: 1, type: 'image/jpeg' }),
    held('reading.taken', { saw: [{ blob: sha('e'), size: 1, type: 'application/json' }] }),
  ])
  expect(found).toEqual({ values: [sha('b'), sha('c')], files: [sha('d'), sha('e')] })
})

describe('an order', () => {
  test('says what the ledger takes, and is one as long as an entry holds it', () => {
    const blobs = Array.from({ length: 801 }, (_, n) => n.toString(16).padStart(64, '0'))
    const checked = checkOrder({ reason: ' asked ', basis: 'GDPR 17' }, blobs)
    if (!checked.ok) throw new Error('refused')
    expect(checked.body.map((order) => order.blobs.length)).toEqual([800, 1])
    for (const order of checked.body) checkBody('erasure.ordered', order)
    expect(checked.body[0]?.reason).toBe('asked')
  })

  test('without a reason or a basis is refused beside its field', () => {
    const checked = checkOrder({ reason: '', basis: ' ' }, [sha('a')])
    expect(checked.ok ? null : Object.values(checked.faults).map((fault) => fault?.slice(0, 9))).toEqual([
      'Write why',
      'Write wha',
    ])
  })
})

describe('the rule', () => {
  test.each([
    ['7', '500', true],
    ['28', '1', true],
    ['29', '500', false],
    ['0', '500', false],
    ['1.5', '500', false],
    ['7', '', false],
  ])('%s days and %s a day', (days, most, isGood) => {
    const checked = checkRule({ days, most })
    expect(checked.ok).toBe(isGood)
    if (checked.ok) checkBody('erasure.ruled', checked.body)
  })
})

describe('how long jobs are kept', () => {
  test.each([
    ['3650', true],
    [' 30 ', true],
    ['0', false],
    ['ten years', false],
    ['', false],
    ['1.5', false],
  ])('%s days: %s', (days, isGood) => {
    const checked = checkDays({ days })
    expect(checked.ok).toBe(isGood)
    if (checked.ok) checkBody('retention.set', checked.body)
  })
})
