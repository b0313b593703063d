/** What the pages of the desk and the audit work out before they show it: no browser, no store. */
import { describe, expect, test } from 'vitest'
import {
  asDecimal,
  checkCheck,
  checkRecall,
  checkTool,
  TOOL_TYPES,
  type ToolDraft,
} from '@client/screens/desk/drafts'
import { fittedIn, lotLines, lotsOf } from '@client/work/lots'
import { recallsOf } from '@client/work/recalls'
import { dueSoon, dueWords, peopleOf, proceduresOf, toolsOf } from '@client/work/statements'
import { inOrder, traceRow, tracedOf } from '@client/work/trace'
import { along, outside, places } from '@client/screens/record/belt-path'
import { placeWords, twoLines, type Ground, type Wanted } from '@client/screens/record/belt-labels'
import { limitWords, verdictOf } from '@client/work/eyes'
import { rowsOf, type Came } from '@client/work/history'
import { checkBody } from '@client/ledger/forms'
import { scopeOf } from '@client/screens/desk/invite'
import type { Bundle } from '@client/procedure/bundle'
import type { Held, JobRow } from '@client/store'

let count = 0

/** An entry as the store holds it. What nobody here reads is left at any value. */
function held(
  kind: string,
  body: object,
  over: Partial<Held> & { at?: string; device?: string; person?: string; id?: string } = {},
): Held {
  count += 1
  const { at = '2026-11-24T08:00:00.000Z', device = 'd', person = 'p', id = `id-${count}`, ...rest } = over
  const entry = { id, kind, body, at, device, person, seq: count, after: [], job: null, workshop: 'w' }
  return {
    entry: entry as unknown as Held['entry'],
    place: 'workshop',
    index: count,
    standing: 'good',
    mine: false,
    ...rest,
  }
}

const wrench: ToolDraft = {
  tool: 'TW-4',
  type: 'torque_wrench',
  label: 'short wrench',
  low: '5',
  high: '50',
  unit: 'N·m',
  accuracy: '',
}

describe('registering a tool', () => {
  test('what is written is what the ledger takes', () => {
    const checked = checkTool({ ...wrench, tool: ' TW-4 ', low: '5,5', high: '+050' }, [])
    expect(checked).toEqual({
      ok: true,
      body: {
        tool: 'TW-4',
        type: 'torque_wrench',
        label: 'short wrench',
        low: '5.5',
        high: '50',
        unit: 'N·m',
      },
    })
    if (checked.ok) checkBody('tool.registered', checked.body)
  })

  test('every type of the list is a name the ledger takes', () => {
    for (const { type } of TOOL_TYPES) {
      const checked = checkTool({ ...wrench, type }, [])
      if (checked.ok) checkBody('tool.registered', checked.body)
      expect(checked.ok).toBe(true)
    }
  })

  test('a number that is taken is refused, in whatever case it is written', () => {
    const checked = checkTool({ ...wrench, tool: 'tw-2' }, ['TW-2'])
    expect(checked.ok ? null : checked.faults.tool).toBe(
      'TW-2 is registered already. Give this tool another number, and mark it on the tool.',
    )
  })

  test('a range that is no number, ends before it begins or has no unit is refused beside its field', () => {
    const faults = (over: Partial<ToolDraft>) => {
      const checked = checkTool({ ...wrench, ...over }, [])
      return checked.ok
        ? []
        : Object.entries(checked.faults).flatMap(([name, fault]) => (fault === undefined ? [] : [name]))
    }
    expect(faults({ low: 'ten' })).toEqual(['low'])
    expect(faults({ low: '50', high: '50.0' })).toEqual(['high'])
    expect(faults({ unit: '' })).toEqual(['unit'])
    expect(faults({ low: '', high: '', unit: '' })).toEqual([])
    expect(faults({ tool: '', label: '' })).toEqual(['tool', 'label'])
  })

  test('decimals as people write them', () => {
    expect(['26,50', '007', '-0,5', '0', '1e3'].map(asDecimal)).toEqual(['26.50', '7', '-0.5', '0', '1e3'])
  })
})

describe('a check of a tool', () => {
  const draft = { on: '2026-11-20', due: '2027-11-20', certificate: '' }

  test('is taken, without a certificate too', () => {
    const checked = checkCheck(draft, 'TW-4', '2026-11-24')
    expect(checked).toEqual({ ok: true, body: { tool: 'TW-4', on: '2026-11-20', due: '2027-11-20' } })
    if (checked.ok) checkBody('tool.calibrated', checked.body)
  })

  test('that is still to come, has no day or is due before it was made is refused', () => {
    const faults = (over: Partial<typeof draft>) => {
      const checked = checkCheck({ ...draft, ...over }, 'TW-4', '2026-11-24')
      return checked.ok ? {} : checked.faults
    }
    expect(faults({ on: '2026-11-25' }).on).toContain('still to come')
    expect(faults({ on: '2026-02-30' }).on).toContain('Choose the day')
    expect(faults({ due: '2026-11-20' }).due).toContain('after this one')
    expect(faults({ due: '' }).due).toContain('Choose the day')
  })
})

describe('what the workshop has stated', () => {
  const tools = [
    held('tool.registered', { tool: 'TW-1', type: 'torque_wrench', label: 'a' }),
    held('tool.registered', { tool: 'TW-2', type: 'torque_wrench', label: 'b' }),
    held('tool.registered', { tool: 'TH-1', type: 'thermometer', label: 'c' }),
    held('tool.calibrated', { tool: 'TW-1', on: '2026-01-10', due: '2027-01-10' }),
    held('tool.calibrated', { tool: 'TW-2', on: '2025-12-01', due: '2026-12-01', certificate: 'C 1' }),
    held('tool.calibrated', { tool: 'TW-2', on: '2024-12-01', due: '2025-12-01' }), // entered late: it is not the last check
  ]

  test('tools: never checked first, then what is due soonest', () => {
    const rows = toolsOf(tools, '2026-11-24')
    expect(rows.map(({ tool, left }) => [tool, left])).toEqual([
      ['TH-1', null],
      ['TW-2', 7],
      ['TW-1', 47],
    ])
    expect(rows[1]!.certificate).toBe('C 1')
    expect(dueSoon(rows).map(({ tool }) => tool)).toEqual(['TH-1', 'TW-2'])
    expect([null, -3, -1, 0, 1, 7].map((left) => dueWords({ left, distrusted: null }))).toEqual([
      'never checked',
      'its check was due 3 days ago',
      'its check was due yesterday',
      'its check is due today',
      'its check is due tomorrow',
      'its check is due in 7 days',
    ])
  })

  test('a statement by a device that may not make it says nothing', () => {
    expect(recallsOf([held('lot.recalled', { lot: 'L', because: 'b' }, { standing: 'doubted' })])).toEqual([])
    expect(
      proceduresOf([
        held(
          'bundle.published',
          { bundle: 'x', name: 'n', edition: 1, engine_codes: [] },
          { standing: 'doubted' },
        ),
      ]),
    ).toEqual([])
  })

  test('people: an invitation lets in one device, the first; a revoked one stays with the reason', () => {
    const name = { blob: 'n' }
    const rows = peopleOf(
      [
        held('person.named', { person: 'p', name }),
        held(
          'device.invited',
          { key: 'k', role: 'mechanic', person: 'p', until: '2026-11-24T09:00:00.000Z' },
          { id: 'i1' },
        ),
        held('device.enrolled', { key: 'k', invitation: 'i1', countersign: 'c' }, { device: 'd1' }),
        held('device.enrolled', { key: 'k', invitation: 'i1', countersign: 'c' }, { device: 'd2' }),
        held('device.revoked', { device: 'd1', because: 'lost' }),
        held('device.invited', { key: 'k', role: 'owner', person: 'p', until: '2026-11-24T10:00:00.000Z' }),
        held('device.invited', { key: 'k', role: 'owner', person: 'p', until: '2026-11-23T10:00:00.000Z' }),
      ],
      '2026-11-24T08:30:00.000Z',
    )
    expect(rows).toHaveLength(1)
    expect(rows[0]).toMatchObject({ name, role: 'owner', invited: ['2026-11-24T10:00:00.000Z'] })
    expect(rows[0]!.devices.map(({ device, revoked }) => [device, revoked])).toEqual([['d1', 'lost']])
  })

  test('procedures: the newest edition first, a withdrawn one with its reason', () => {
    const rows = proceduresOf([
      held('bundle.published', { bundle: 'a', name: 'n', edition: 1, engine_codes: ['DX'] }),
      held('bundle.published', { bundle: 'b', name: 'n', edition: 2, engine_codes: ['DX'] }),
      held('bundle.withdrawn', { bundle: 'a', because: 'a figure was wrong' }),
    ])
    expect(rows.map(({ bundle, withdrawn }) => [bundle, withdrawn])).toEqual([
      ['b', null],
      ['a', 'a figure was wrong'],
    ])
  })
})

const job = (name: string, over: Partial<JobRow> = {}) => ({ job: name, end: null, ...over }) as JobRow

describe('lots', () => {
  const opened = held('job.opened', { customer: { blob: 'c' } })
  const part = (lot: string, at: string, after: string[] = []) => {
    const fitted = held('part.fitted', { step: 's', name: 'n', part: 'belt', lot }, { at })
    return { ...fitted, entry: { ...fitted.entry, after } }
  }

  test('a lot knows its jobs, the last first, and whom to call; recalled lots come first, fitted or not', () => {
    const fitted = [
      ...fittedIn(job('j1'), [
        opened,
        part('L1', '2026-11-01T08:00:00.000Z'),
        part('L1', '2026-11-01T09:00:00.000Z'),
      ]),
      ...fittedIn(job('j2', { end: 'finished' }), [
        part('L1', '2026-11-02T08:00:00.000Z'),
        held('job.closed', { end: 'finished' }, { at: '2026-11-02T12:00:00.000Z' }),
      ]),
      ...fittedIn(job('j3'), [part('L2', '2026-11-03T08:00:00.000Z')]),
    ]
    const rows = lotsOf(
      fitted,
      recallsOf([
        held('lot.recalled', { lot: 'L1', because: 'b' }),
        held('lot.recalled', { lot: 'L9', because: 'b' }),
      ]),
    )
    expect(rows.map(({ lot, fitted: jobs }) => [lot, jobs.map(({ row }) => row.job)])).toEqual([
      ['L1', ['j2', 'j1']],
      ['L9', []],
      ['L2', ['j3']],
    ])
    expect(rows[0]!.fitted.map(({ customer, closedAt }) => [customer, closedAt])).toEqual([
      [null, '2026-11-02T12:00:00.000Z'],
      [{ blob: 'c' }, null],
    ])
  })

  test('what the workshop lists is joined with what is here alone, a recalled lot by its recall and first', () => {
    const here = lotsOf(
      [
        ...fittedIn(job('j1'), [part('l-1', '2026-11-03T08:00:00.000Z')]),
        ...fittedIn(job('j2'), [part('L5', '2026-11-04T08:00:00.000Z')]), // not sent yet
      ],
      recallsOf([held('lot.recalled', { lot: 'Z 9', because: 'cracked' })]),
    )
    const listed = [
      { lot: 'Z9', parts: ['idler'], jobs: 3, at: '2025-01-01T08:00:00.000Z' },
      { lot: 'L 1', parts: ['idler'], jobs: 40, at: '2026-11-01T08:00:00.000Z' },
    ]
    const lines = lotLines(listed, here)
    expect(lines.map(({ lot, jobs, at, recall }) => [lot, jobs, at?.slice(0, 10), recall?.because])).toEqual([
      ['Z 9', 3, '2025-01-01', 'cracked'],
      ['L 1', 40, '2026-11-03', undefined],
      ['L5', 1, '2026-11-04', undefined],
    ])
    expect(lines[1]?.parts).toEqual(['idler', 'belt'])
  })

  test('a part that was replaced is said to be, and one of two that stays is not', () => {
    const [first, other] = [part('L1', '2026-11-01T08:00:00.000Z'), part('L2', '2026-11-01T09:00:00.000Z')]
    const then = { ...other, entry: { ...other.entry, after: [first.entry.id] } }
    expect(fittedIn(job('j'), [first, then]).map(({ lot, isReplaced }) => [lot, isReplaced])).toEqual([
      ['L1', true],
      ['L2', false],
    ])
    const again = part('l-1', '2026-11-01T10:00:00.000Z', [then.entry.id])
    expect(fittedIn(job('j'), [first, then, again]).map(({ lot, isReplaced }) => [lot, isReplaced])).toEqual([
      ['l-1', false],
      ['L2', true],
    ])
  })

  test('a recall needs a lot that is not recalled yet, and a reason', () => {
    const recalled = recallsOf([held('lot.recalled', { lot: 'L1', because: 'b' })])
    const checked = checkRecall({ lot: 'l-1', because: '', until: '' }, recalled)
    expect(checked.ok ? null : checked.faults).toEqual({
      lot: 'Lot L1 is recalled already.',
      because: 'Write why. It stays in the ledger for everybody: no names.',
    })
    const good = checkRecall({ lot: ' L2 ', because: 'x', until: '' }, recalled)
    expect(good).toEqual({ ok: true, body: { lot: 'L2', because: 'x' } })
    if (good.ok) checkBody('lot.recalled', good.body)
  })
})

describe('a trace', () => {
  const reading = held('reading.taken', { step: 's', name: 'n', value: '26', unit: 'N·m', tool: 'TW-2' })
  const closed = held('job.closed', { end: 'finished' }, { at: '2026-11-24T12:00:00.000Z' })
  const approved = held('review.approved', {}, { at: '2026-11-24T13:00:00.000Z' })
  const of = (log: Held[]) => traceRow(job('j'), log, { by: 'tool', name: 'TW-2' })

  test('runs as far as the job has come; an approval before the last closing does not reach', () => {
    expect(of([reading])?.reach).toBe(2)
    expect(of([reading, closed])?.reach).toBe(3)
    expect(of([reading, closed, approved])?.reach).toBe(4)
    expect(of([reading, closed, approved, closed])?.reach).toBe(3)
    expect(traceRow(job('j'), [reading], { by: 'tool', name: 'TW-3' })).toBeNull()
    expect(traceRow(job('j'), [reading], { by: 'lot', name: 'TW-2' })).toBeNull()
  })

  test('those that left without being approved stand first', () => {
    const rows = [of([reading, closed, approved]), of([reading]), of([reading, closed])].flatMap(
      (each) => each ?? [],
    )
    expect(inOrder(rows).map(({ reach }) => reach)).toEqual([3, 2, 4])
  })

  test('the address says what is traced', () => {
    expect(tracedOf('lot NH-24 0917')).toEqual({ by: 'lot', name: 'NH-24 0917' })
    expect([tracedOf('job x'), tracedOf(null), tracedOf('tool ')]).toEqual([null, null, null])
  })
})

describe('where a reading stands', () => {
  const at = (value: string, low?: string, high?: string) =>
    verdictOf({
      value,
      says: null,
      ...(low === undefined ? {} : { low }),
      ...(high === undefined ? {} : { high }),
    })

  test('outside, close within a tenth of its window, or inside; limits belong to the window', () => {
    expect([
      at('24.95', '24.96', '27.04'),
      at('24.96', '24.96', '27.04'),
      at('25.16', '24.96', '27.04'),
      at('25.17', '24.96', '27.04'),
      at('26.00', '24.96', '27.04'),
    ]).toEqual(['outside', 'close', 'close', 'inside', 'inside'])
    expect([
      at('40', undefined, '40'),
      at('40.01', undefined, '40'),
      at('3', '3', '3'),
      at('4', '3', '3'),
    ]).toEqual(['inside', 'outside', 'inside', 'outside'])
    expect([at('seen', '1', '2'), at('3')]).toEqual([null, null])
  })

  test('limits in words', () => {
    expect([
      limitWords({ low: '1', high: '2', unit: 'bar' }),
      limitWords({ high: '40', unit: '°C' }),
      limitWords({ low: '3', high: '3', unit: '1' }),
    ]).toEqual(['limits 1 to 2 bar', 'at most 40 °C', 'asked for 3'])
  })
})

describe('the history', () => {
  const bundle = { steps: [{ id: 's', number: '28', title: 'Nut' }], tools: [] } as unknown as Bundle
  const line = (received: string, offset: string) => `${received} ${offset} signature {}`

  test('a clock that went back, was wrong, or an entry that came in late is said', () => {
    const log = [
      held('step.begun', { step: 's' }, { at: '2026-11-24T08:00:00.000Z', index: 0 }),
      held('step.done', { step: 's' }, { at: '2026-11-24T07:00:00.000Z', index: 1 }),
      held('note.added', {}, { at: '2026-11-24T09:00:00.000Z', index: 2 }),
      held('note.added', {}, { at: '2026-11-24T09:10:00.000Z', index: null }),
    ]
    const came: Came = new Map([
      [0, line('2026-11-24T08:01:00.000Z', '+400')],
      [1, line('2026-11-24T10:30:00.000Z', '?')],
      [2, line('2026-11-24T09:05:00.000Z', '-300000')],
    ])
    const rows = rowsOf({ held: log, bundle }, came)
    expect(rows.map(({ oddities }) => oddities)).toEqual([
      [],
      ['the clock went back 1 h 0 min', 'came in 3 h 30 min later'],
      ['the clock was 5 min behind'],
      [],
    ])
    expect(rows.map(({ what, received }) => [what, received])).toEqual([
      ['begun, 28', '2026-11-24T08:01:00.000Z'],
      ['done, 28', '2026-11-24T10:30:00.000Z'],
      ['note', '2026-11-24T09:05:00.000Z'],
      ['note', null],
    ])
  })

  test('another device may be behind without a word', () => {
    const log = [
      held('note.added', {}, { at: '2026-11-24T09:00:00.000Z', device: 'a' }),
      held('note.added', {}, { at: '2026-11-24T08:00:00.000Z', device: 'b' }),
    ]
    expect(rowsOf({ held: log, bundle }, new Map()).flatMap(({ oddities }) => oddities)).toEqual([])
  })
})

describe('words along the belt', () => {
  const ring = (turns: 1 | -1): [number, number][] =>
    Array.from({ length: 120 }, (_, i) => [
      200 + 120 * Math.cos((turns * i * Math.PI) / 60),
      200 + 120 * Math.sin((turns * i * Math.PI) / 60),
    ])

  test('the outside is found whichever way the line runs', () => {
    for (const turns of [1, -1] as const) {
      const line = ring(turns)
      const [first] = along(line, [0])
      const side = outside(line)
      const [x, y] = [first!.x + first!.ty * side, first!.y - first!.tx * side]
      expect(Math.hypot(x - 200, y - 200)).toBeGreaterThan(Math.hypot(first!.x - 200, first!.y - 200))
    }
  })

  test('lie over no belt, no wheel and no other word; what has no room is left out if it may be', () => {
    const line = ring(1)
    const ground: Ground = {
      line,
      side: outside(line),
      half: 11,
      wheels: [{ cx: 200, cy: 200, r: 40 }],
      width: 400,
      height: 400,
    }
    const wanted = places(line, 40).map(
      (at, i): Wanted => ({ lines: [`${i}`], size: 17, at, slide: 0, away: 26, spare: true }),
    )
    const words = placeWords(ground, wanted)
    expect(words.length).toBeGreaterThan(20)
    const belt = along(
      line,
      Array.from({ length: 720 }, (_, n) => n / 720),
    )
    for (const [i, a] of words.entries()) {
      expect(
        [a.x - a.w / 2, a.y - a.h / 2].every((edge) => edge >= 0) &&
          a.x + a.w / 2 <= 400 &&
          a.y + a.h / 2 <= 400,
      ).toBe(true)
      for (const b of words.slice(i + 1))
        expect(Math.abs(a.x - b.x) >= (a.w + b.w) / 2 || Math.abs(a.y - b.y) >= (a.h + b.h) / 2).toBe(true)
      const gaps = belt.map(({ x, y }) =>
        Math.hypot(Math.max(0, Math.abs(x - a.x) - a.w / 2), Math.max(0, Math.abs(y - a.y) - a.h / 2)),
      )
      expect(Math.min(...gaps)).toBeGreaterThan(10.5)
    }
  })

  test('a long phrase is cut at a space near its middle', () => {
    expect([
      twoLines('Run it 22:30'),
      twoLines('Find and lock the marks 18:50'),
      twoLines('Unbreakableword'),
    ]).toEqual([['Run it 22:30'], ['Find and lock', 'the marks 18:50'], ['Unbreakableword']])
  })
})

test('an auditor is limited to what was typed, and to nothing where nothing was', () => {
  expect(scopeOf({ from: '', to: '', end: '', values: 'all' })).toBeUndefined()
  expect(scopeOf({ from: '2026-10-01', to: '', end: '2026-12-31', values: 'vehicle' })).toEqual({
    days: ['2026-10-01', '9999-12-31'],
    values: ['vin', 'plate'],
    end: '2026-12-31T23:59:59.999Z',
  })
  const scope = scopeOf({ from: '', to: '2026-10-31', end: '', values: 'none' })
  expect(scope).toEqual({ days: ['0001-01-01', '2026-10-31'], values: [] })
  const body = {
    key: 'A'.repeat(43),
    role: 'auditor',
    person: '019abcde-0000-7000-8000-000000000001',
    until: '2026-11-24T21:32:10.123Z',
    scope,
  }
  expect(checkBody('device.invited', body)).toBe(true)
})
