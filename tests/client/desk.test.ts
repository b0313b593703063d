/** The owner's list in order of risk, and the belt of the job as geometry. */
import type { DeskRow } from '@client/ledger/answers'
import { describe, expect, test } from 'vitest'
import { beltLine, places } from '@client/screens/record/belt-path'
import { eyesFirst, sharpened } from '@client/work/eyes-order'
import { headOf } from '@client/screens/audit/ledger'
import { questionOf } from '@client/screens/audit/take'
import { whereOf } from '@client/screens/office/address'
import { namesWords } from '@client/screens/names'
import { kmWords, sizeWords } from '@client/work/format'
import { stillWaiting } from '@client/work/offers'
import { factOf, meaningOf } from '@client/work/sentences'
import { SEVERITY } from '@client/work/severity'
import type { DriveBlock } from '@client/procedure/bundle'

const row = (over: Partial<DeskRow>): DeskRow => ({
  job: 'j',
  bundle: 'b',
  vehicle: 'Hayfork',
  engine_code: 'QL-19D4',
  bay: '2',
  odometer_km: 100,
  odometer_unit: null,
  vin: null,
  plate: 'TB 0412',
  customer: null,
  phone: null,
  state: 'closed',
  exceptions: 0,
  worst: null,
  codes: [],
  questions: 0,
  answered: 0,
  done: 46,
  steps: 46,
  entries: 200,
  last_received: '2026-11-24T12:00:00.000Z',
  notices: [],
  findings: 0,
  planned: null,
  parked: null,
  ...over,
})

const TODAY = '2026-11-30'
const OF_LOT = { lot: 'NH-24-0917', tool: null, of: 'a'.repeat(64), until: null }

describe('eyes first', () => {
  test('a finding that is open asks for eyes, also in a job that is under way', () => {
    const { lines, whole } = eyesFirst(
      [row({ state: 'open', findings: 2 }), row({ job: 'k', state: 'open' })],
      TODAY,
    )
    expect(lines.map(({ head, blade }) => [head, blade])).toEqual([['TB 0412: 2 findings are open', 2]])
    expect(whole.map(({ job }) => job)).toEqual(['k'])
    const [asked] = eyesFirst([row({ questions: 1, findings: 1 })], TODAY).lines
    expect(asked?.says).toBe('Hayfork; closed; one finding is open.')
  })
  test('what changed after approval comes before a broken rule, that before a redo, that before a clean job', () => {
    const rows = [
      row({ job: 'clean' }),
      row({ job: 'redo', codes: ['failed'], exceptions: 1 }),
      row({ job: 'rule', codes: ['rule-broken', 'failed'], exceptions: 2 }),
      row({ job: 'changed', state: 'changed' }),
    ]
    expect(eyesFirst(rows, TODAY).lines.map(({ rows: [{ job }] }) => job)).toEqual([
      'changed',
      'rule',
      'redo',
      'clean',
    ])
  })

  test('a recall shows on a job long approved; an approved job without one asks for nobody', () => {
    const recalled = row({
      job: 'recalled',
      state: 'approved',
      notices: [{ code: 'lot-recalled', message: 'Lot NH-24-0917 is recalled.', ...OF_LOT }],
    })
    const { lines, whole } = eyesFirst([row({ job: 'approved', state: 'approved' }), recalled], TODAY)
    expect(lines.map(({ head, says }) => [head, says])).toEqual([
      ['Lot NH-24-0917 is recalled', 'One job: TB 0412.'],
    ])
    expect(whole.map(({ job }) => job)).toEqual(['approved'])
  })

  test('a recall of several jobs is one line; a job of them that asks for more keeps its own', () => {
    const notices = [{ code: 'lot-recalled', message: 'Lot NH-24-0917 is recalled.', ...OF_LOT }]
    const { lines, whole } = eyesFirst(
      [
        row({ job: 'a', state: 'approved', notices }),
        row({ job: 'b', plate: 'TB 0398', notices, codes: ['outside-limits'], exceptions: 1 }),
      ],
      TODAY,
    )
    expect(lines.map(({ rows }) => rows.map(({ job }) => job))).toEqual([['a', 'b'], ['b']])
    expect(whole).toEqual([])
  })

  test("a head is sharpened by the log's first finding, but not a notice and not a change after approval", () => {
    const heads = [row({ codes: ['failed'] }), row({ state: 'changed', codes: ['failed'] })].map((each) =>
      sharpened(eyesFirst([each], TODAY).lines[0]!, 'nut 23.7, limits 25 to 27'),
    )
    expect(heads).toEqual(['TB 0412: nut 23.7, limits 25 to 27', 'TB 0412: approved, then changed'])
  })

  test('words never show a code', () => {
    for (const code of SEVERITY) {
      const [line] = eyesFirst([row({ codes: [code], exceptions: 1 })], TODAY).lines
      if (code.includes('-')) expect(line!.head).not.toContain(code)
      expect(`${factOf(code, 'The job')} ${meaningOf(code)}`).not.toMatch(/error|\byou\b/i)
    }
  })

  test('an open job with nothing to ask asks for nobody and says how far it is', () => {
    const { lines, whole } = eyesFirst(
      [row({ state: 'open', done: 12 }), row({ job: 'asked', state: 'open', done: 12, questions: 1 })],
      TODAY,
    )
    expect(whole).toHaveLength(1)
    expect(lines[0]!.says).toBe('Hayfork; 12 of 46 steps hold.')
  })
})

/** Two wheels of radius 1, centres 4 apart, belt straight above and below: length 2*4 + 2*pi by elementary geometry. */
const open: DriveBlock = {
  running: 'clockwise',
  belt: { width_um: 1, back_um: 0, length_um: 0 },
  wheels: [
    { id: 'a', label: 'A', x_um: 0, y_um: 0, r_um: 1, inside: true, mark_mdeg: -90_000 },
    { id: 'b', label: 'B', x_um: 4, y_um: 0, r_um: 1, inside: true },
  ],
  path: [
    { wheel: 'a', in: [0, -1], out: [0, 1], large: false },
    { wheel: 'b', in: [4, 1], out: [4, -1], large: false },
  ],
  order: [],
  counts: [],
  span: { from: 'a', to: 'b', length_um: 0, low_hz: '0', high_hz: '0', target_hz: '0' },
}

describe('the belt of the job', () => {
  const line = beltLine(open)
  const length = [...line, line[0]!]
    .slice(1)
    .reduce((sum, [x, y], i) => sum + Math.hypot(x - line[i]![0], y - line[i]![1]), 0)

  test('is as long as the belt', () => {
    expect(length).toBeCloseTo(8 + 2 * Math.PI, 2)
  })

  test('starts at the mark of the crank and goes against the running direction, so along the tight side', () => {
    expect(line[0]![0]).toBeCloseTo(0)
    expect(line[0]![1]).toBeCloseTo(1) // y down
    const [first] = places(line, 46)
    expect(first!.x).toBeGreaterThan(0) // clockwise from the bottom would go to the left
  })

  test('gives each step the same share', () => {
    const all = places(line, 46)
    const steps = all.slice(1).map(({ x, y }, i) => Math.hypot(x - all[i]!.x, y - all[i]!.y))
    for (const step of steps) expect(step).toBeCloseTo(length / 46, 1)
    for (const { tx, ty } of all) expect(Math.hypot(tx, ty)).toBeCloseTo(1)
  })
})

describe('small words', () => {
  test('figures', () => {
    expect(kmWords(108914)).toBe('108\u202f914 km')
    expect(sizeWords(3_140_000)).toBe('3.1 MB')
  })
  test('the bag discloses what is asked for, and no more', () => {
    expect(questionOf(['j'], null, { vin: false, notes: false, papers: false, originals: false })).toEqual({
      path: '/api/jobs/j/bag?with=&originals=0',
    })
    expect(questionOf(['j'], null, { vin: true, notes: true, papers: true, originals: true })).toEqual({
      path: '/api/jobs/j/bag?with=vin%2Cnotes%2Cpapers&originals=1',
    })
    expect(questionOf(['j', 'k'], 'ab', { vin: true, notes: false, papers: false, originals: true })).toEqual(
      {
        path: '/api/bags',
        question: { jobs: ['j', 'k'], with: 'vin', originals: '1', sample: 'ab' },
      },
    )
  })
  test("a checkpoint's head is its second and third line", () => {
    expect(headOf('two-turns/x\n18342\nAAAA=\n\n— sig\n')).toEqual({ size: '18342', root: 'AAAA=' })
  })
  test('an address that is no page leads to the first', () => {
    expect(whereOf('#/desk/nowhere/x', 'desk', ['eyes', 'jobs'])).toEqual({ page: 'eyes', item: null })
    expect(whereOf('#/desk/jobs/a%2Fb', 'desk', ['eyes', 'jobs'])).toEqual({ page: 'jobs', item: 'a/b' })
  })
})

test('who wrote what no app here can read is named once, and by name where it is known', () => {
  const people = new Map([
    ['a', 'Ada Weir'],
    ['b', 'Bo Sluice'],
    ['c', 'Ada Weir'],
  ])
  expect(namesWords(['a', 'c'], people)).toBe('Ada Weir')
  expect(namesWords(['a', 'x', 'b'], people)).toBe('Ada Weir, somebody and Bo Sluice')
  expect(namesWords(['y', 'x'], people)).toBe('somebody')
  expect(namesWords(['console'], people)).toBe('the workshop')
  expect(namesWords([], people)).toBe('somebody')
})

describe('what waits for an owner', () => {
  const offer = (bundle: string, id: string, edition: number) => ({
    bundle,
    id,
    edition,
    name: id,
    engine_codes: [],
    rules: [],
  })
  const offers = [offer('a1', 'a', 1), offer('a2', 'a', 2), offer('a3', 'a', 3), offer('b1', 'b', 1)]

  test('waits no longer once an edition as high or higher went out', () => {
    expect(stillWaiting(offers, ['a2', 'other']).map(({ bundle }) => bundle)).toEqual(['a3', 'b1'])
    expect(stillWaiting(offers, [])).toEqual(offers)
  })
})
