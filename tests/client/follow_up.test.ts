/** A recall, or a wrench that was found out, followed to its end: order, counts, days, table; a check as it is typed. */
import { describe, expect, it } from 'vitest'
import type { FastenerRow, VehicleRow } from '@client/ledger/answers'
import { checkBody } from '@client/ledger/forms'
import { checkFound, foundSoFar, startOf } from '@client/screens/desk/check-draft'
import { checkOf, offWords } from '@client/work/tool-checks'
import type { Held } from '@client/store'
import { concerning, countsOf, fastenerWords, inOrder, tableOf, untilWords } from '@client/work/follow-up'
import { doubtedIn } from '@client/work/doubted'
import { dueSoon, toolsOf } from '@client/work/statements'
import { readTag, wrenches } from '@client/work/wrenches'

const fastener = (over: Partial<FastenerRow>): FastenerRow => ({
  ...{ entry: 'e', step: 's', where: '28 Crankshaft: torque', at: '2026-11-20T08:00:00.000Z' },
  ...{ value: '26', unit: 'N·m', low: '24.96', high: '27.04', setting: '26', actual: '23.66' },
  ...{ verdict: 'outside', beyond_permille: 50, is_settled: false },
  ...over,
})
const vehicle = (job: string, over: Partial<VehicleRow>): VehicleRow => ({
  ...{ job, plate: job, vin: null, engine_code: 'QL', odometer_km: 88_650, odometer_unit: null },
  ...{ begun: '2026-11-20T08:00:00.000Z', is_closed: true, customer: null, phone: null },
  ...{ followed: [], parts: [], fasteners: [], is_done: false, later_job: null },
  ...over,
})
const followed = (how: string) => ({
  entry: how,
  how,
  at: '2026-11-25T08:00:00.000Z',
  person: 'p',
  words: null,
})

describe('the vehicles', () => {
  it('come in the order in which they are called: whom nobody has reached first, what is done last', () => {
    const rows = [
      vehicle('done', { is_done: true }),
      vehicle('answered', { followed: [followed('told'), followed('answered')] }),
      vehicle('told', { followed: [followed('told')] }),
      vehicle('missed', { followed: [followed('not_reached')] }),
    ]
    expect(inOrder(rows).map(({ job }) => job)).toEqual(['missed', 'told', 'answered', 'done'])
    expect(countsOf(rows)).toEqual({ all: 4, done: 1, untold: 1 })
  })
  it('of a wrench come the worst first, what nobody knows before what is inside', () => {
    const rows = [
      vehicle('unknown', { fasteners: [fastener({ verdict: 'unknown', actual: null, beyond_permille: 0 })] }),
      vehicle('bad', { fasteners: [fastener({})] }),
      vehicle('worse', { fasteners: [fastener({ beyond_permille: 90 })], followed: [followed('told')] }),
      vehicle('settled', { fasteners: [fastener({ beyond_permille: 99, is_settled: true })], is_done: true }),
    ]
    expect(inOrder(rows).map(({ job }) => job)).toEqual(['worse', 'bad', 'unknown', 'settled'])
  })
  it('are overdue from the day after on, until all are done', () => {
    const until = { until: '2026-12-01' }
    const open = { all: 2, done: 1, untold: 0 }
    expect(untilWords(until, open, '2026-12-01')).toBe('To be done by 1 Dec 2026.')
    expect(untilWords(until, open, '2026-12-02')).toBe('It was to be done by 1 Dec 2026: overdue for a day.')
    expect(untilWords(until, open, '2026-12-04')).toContain('overdue for 3 days')
    expect(untilWords(until, { ...open, done: 2 }, '2026-12-04')).toBe('')
    expect(untilWords({ until: null }, open, '2026-12-04')).toBe('')
  })
  it('say of a fastener what it really got', () => {
    expect(fastenerWords(fastener({}))).toBe('26 N·m was really 23.66 N·m, limits 24.96 to 27.04: outside')
    expect(fastenerWords(fastener({ actual: null, verdict: 'unknown', low: null, high: null }))).toBe(
      '26 N·m was set outside of what was checked: nobody knows what it was, no limits asked for',
    )
  })
  it('name in a letter only what asks for something', () => {
    const row = vehicle('a', {
      parts: [
        { part: 'timing belt', lot: 'L1', asks: true },
        { part: 'idler', lot: 'L1', asks: false },
      ],
      fasteners: [fastener({}), fastener({ verdict: 'inside', where: 'inside' })],
    })
    expect(concerning(row)).toEqual(['timing belt, lot L1', '28 Crankshaft: torque'])
  })
  it('are a table with a row for each part and fastener', () => {
    const table = tableOf(
      [
        vehicle('a', {
          parts: [{ part: 'belt', lot: 'L1', asks: true }],
          fasteners: [fastener({})],
          followed: [followed('told')],
        }),
      ],
      () => 'Bela',
    )
    expect(table).toHaveLength(3)
    expect(new Set(table.map((row) => row.length))).toEqual(new Set([20]))
    expect(table[1]).toContain('told')
    expect(table[1]).toContain('Bela')
    expect(table[2]).toContain('23.66')
    expect(table[2]).toContain('outside its limits')
  })
})

const TODAY = '2026-11-30'
const said = (kind: string, body: object, n: number) =>
  ({
    entry: { id: `${n}`.repeat(64), kind, body, at: `${TODAY}T08:00:00.000Z` },
    standing: 'good',
  }) as unknown as Held
const registered = {
  ...{ tool: 'TW-2', type: 'torque_wrench', label: 'small wrench' },
  ...{ low: '10', high: '100', unit: 'N·m' },
}
const bad = {
  ...{ tool: 'tw 2', on: '2026-11-24', unit: 'N·m', allowed_percent: '4' },
  points: [
    { nominal: '20', found: '18.2' },
    { nominal: '100', found: '91' },
  ],
}
const good = { tool: 'TW-2', on: '2026-02-01', due: '2027-02-01' }

describe('a wrench that was found out', () => {
  const of = (...more: Held[]) => [
    said('tool.registered', registered, 1),
    said('tool.calibrated', good, 2),
    ...more,
  ]
  const asked = (statements: Held[]) =>
    wrenches(
      statements.map(({ entry }) => entry),
      'torque_wrench',
      '26',
      TODAY,
    )[0]!
  it('is refused on the phone, with the reason, until a good check', () => {
    expect(asked(of()).fit).toBe(true)
    const found = asked(of(said('tool.checked', bad, 3)))
    expect([found.fit, found.because]).toEqual([
      false,
      'It was found out on 24 Nov 2026: it delivers 9 % less than it is set to.',
    ])
    const again = said('tool.calibrated', { ...good, on: '2026-11-24' }, 4)
    expect(asked(of(said('tool.checked', bad, 3), again)).fit).toBe(true)
    const within = { ...bad, on: '2026-11-25', points: [{ nominal: '20', found: '20' }] }
    expect(asked(of(said('tool.checked', bad, 3), said('tool.checked', within, 4))).fit).toBe(true)
  })
  it('is refused by its tag, too', () => {
    const read = readTag(
      of(said('tool.checked', bad, 3)).map(({ entry }) => entry),
      'torque_wrench',
      'TW-2',
      TODAY,
    )
    expect(read.is === 'refused' && read.trouble.code).toBe('tool-found-out')
  })
  it('stands first among the tools of the desk, and is due', () => {
    const other = said('tool.registered', { ...registered, tool: 'TW-1' }, 5)
    const rows = toolsOf([other, ...of(said('tool.checked', bad, 3))], TODAY)
    expect(rows.map(({ tool, distrusted }) => [tool, distrusted?.body.on ?? null])).toEqual([
      ['TW-2', '2026-11-24'],
      ['TW-1', null],
    ])
    expect(dueSoon(rows)).toHaveLength(2)
  })
  it('speaks against a job whose log is here', () => {
    const body = { step: 's', name: 'n', value: '26', unit: 'N·m', tool: 'TW-2', low: '24.96', high: '27.04' }
    const reading = said('reading.taken', body, 7)
    Object.assign(reading.entry, { after: [], at: '2026-11-20T08:00:00.000Z' })
    const doubted = doubtedIn([reading], of(said('tool.checked', bad, 3)))
    expect(doubted.map(({ found }) => [found.verdict, found.actual?.toFixed(2)])).toEqual([
      ['outside', '23.66'],
    ])
    expect(doubtedIn([reading], of())).toEqual([])
  })
})

describe('a check as it is typed', () => {
  const tool = { tool: 'TW-2', unit: 'N·m' }
  const start = { ...startOf('100'), on: '2026-11-24', due: '2027-11-24' }
  it('begins with the points of ISO 6789, and is a plain check where nothing was found', () => {
    expect([start.nominal0, start.nominal1, start.nominal2, start.allowed]).toEqual(['20', '60', '100', '4'])
    expect(startOf('8').allowed).toBe('6')
    const checked = checkFound(start, tool, TODAY)
    expect(checked.ok && checked.body).toEqual({
      found: null,
      left: { tool: 'TW-2', on: '2026-11-24', due: '2027-11-24' },
    })
  })
  it('states how it was found and how it was left', () => {
    const draft = { ...start, found0: '18,2', found2: '91', until: '2026-12-24', certificate: 'K 1' }
    const checked = checkFound(draft, tool, TODAY)
    if (!checked.ok) throw new Error(JSON.stringify(checked.faults))
    const { found, left } = checked.body
    expect(found?.points).toEqual([
      { nominal: '20', found: '18.2', direction: 'clockwise' },
      { nominal: '100', found: '91', direction: 'clockwise' },
    ])
    expect([found?.until, found?.certificate, left?.certificate]).toEqual(['2026-12-24', 'K 1', 'K 1'])
    checkBody('tool.checked', found)
    checkBody('tool.calibrated', left)
  })
  it('of a tool that shows stands in its own unit, below nothing, too', () => {
    const thermometer = { tool: 'TH-1', unit: '°C', shows: true }
    const begun = { ...startOf('150', true), on: '2026-11-24', due: '2027-11-24' }
    expect([begun.nominal0, begun.allowed]).toEqual(['', ''])
    const typed = { ...begun, nominal0: '-20', found0: '-19,5', nominal1: '100', found1: '103' }
    expect(checkFound(typed, thermometer, TODAY)).toMatchObject({ ok: false, faults: { allowed: /above 0/ } })
    const checked = checkFound({ ...typed, allowed: '1' }, thermometer, TODAY)
    if (!checked.ok) throw new Error(JSON.stringify(checked.faults))
    checkBody('tool.checked', checked.body.found)
    expect(checked.body.found).toMatchObject({
      allowed: '1',
      points: [
        { nominal: '-20', found: '-19.5' },
        { nominal: '100', found: '103' },
      ],
    })
    expect(offWords(checkOf('', checked.body.found!))).toBe('it shows 3 °C too much')
  })
  it('of a wrench that is not put right needs no next day; of any other it does', () => {
    const out = checkFound({ ...start, due: '', found0: '18.2' }, tool, TODAY)
    expect(out.ok && out.body.left).toBe(null)
    for (const draft of [
      { ...start, due: '' },
      { ...start, due: '', found0: '20' },
    ]) {
      const checked = checkFound(draft, tool, TODAY)
      expect(checked.ok ? null : Object.keys(checked.faults)).toContain('due')
    }
  })
  it.each([
    [{ found0: 'x' }, 'found0'],
    [{ found0: '-1' }, 'found0'],
    [{ found0: '182' }, 'found0'],
    [{ found0: '1.8' }, 'found0'],
    [{ found0: '18', nominal0: '0' }, 'nominal0'],
    [{ found0: '18', found1: '54', nominal1: '20' }, 'nominal1'],
    [{ found0: '18', allowed: '' }, 'allowed'],
    [{ found0: '18', until: '2026-11-01' }, 'until'],
    [{ on: '2027-01-01' }, 'on'],
  ])('says what is wrong with %o, and states nothing', (over, field) => {
    const checked = checkFound({ ...start, ...over }, tool, TODAY)
    expect(checked.ok ? null : Object.keys(checked.faults)).toContain(field)
  })
  it('takes one setting in both directions, and a wrench that held nothing', () => {
    const draft = { ...start, found0: '18', nominal3: '20', found3: '19', direction3: 'anticlockwise' }
    expect(checkFound(draft, tool, TODAY).ok).toBe(true)
    expect(checkFound({ ...start, found0: '0' }, tool, TODAY).ok).toBe(true)
  })
  it('says at once what is found so far, once that can be said', () => {
    expect(foundSoFar({ ...start, found0: '18.2' }, tool)?.points).toHaveLength(1)
    expect(foundSoFar({ ...start, found0: '18.' }, tool)).toBe(null)
    expect(foundSoFar(start, tool)).toBe(null)
  })
})
