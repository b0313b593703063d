/** The registers of a workshop, folded from its statements: tools, sets, permits, devices by name. */
import { describe, expect, test } from 'vitest'
import { checkBody } from '@client/ledger/forms'
import { checkCheck } from '@client/screens/desk/drafts'
import { fileFault, pictureFault } from '@client/screens/desk/file-field'
import { lapsing, permitName, permitsOf, permitsOn, permitWords } from '@client/work/permits'
import { setOf, setsOf } from '@client/work/sets'
import { dueSoon, peopleOf, toolsOf } from '@client/work/statements'
import { readTag, wrenches } from '@client/work/wrenches'
import type { Held } from '@client/store'

let count = 0

function held(kind: string, body: object, over: { at?: string; standing?: Held['standing'] } = {}): Held {
  count += 1
  const { at = '2026-11-24T08:00:00.000Z', standing = 'good' } = over
  const entry = { id: `id-${count}`, kind, body, at, device: 'd', person: 'p', seq: count, job: null }
  return { entry: entry as unknown as Held['entry'], place: 'workshop', index: count, standing, mine: false }
}

const TODAY = '2026-11-24'
const wrench = {
  tool: 'TW-2',
  type: 'torque_wrench',
  label: 'the long one',
  low: '10',
  high: '100',
  unit: 'N·m',
}
const checked = { tool: 'TW-2', on: '2026-01-10', due: '2027-01-10' }
const entriesOf = (statements: Held[]) => statements.map(({ entry }) => entry)

describe('a tool', () => {
  const registered = [held('tool.registered', wrench), held('tool.calibrated', checked)]

  test('that was corrected is what the correction says, under its own number', () => {
    const statements = [
      ...registered,
      held('tool.corrected', { ...wrench, tool: 'tw2', high: '80', accuracy: 'class B', because: 'misread' }),
    ]
    const [row] = toolsOf(statements, TODAY)
    expect([row?.tool, row?.range, row?.accuracy]).toEqual(['TW-2', '10 to 80 N·m', 'class B'])
    const [found] = wrenches(entriesOf(statements), 'torque_wrench', '90', TODAY)
    expect(found?.fit).toBe(false)
  })

  test('that is out of use measures nothing, is due for no check, and stands last', () => {
    const statements = [
      ...registered,
      held('tool.registered', { ...wrench, tool: 'TW-9' }),
      held('tool.retired', { tool: 'tw 2', because: 'fell' }),
    ]
    expect(toolsOf(statements, '2027-06-01').map(({ tool, retired }) => [tool, retired])).toEqual([
      ['TW-9', null],
      ['TW-2', 'fell'],
    ])
    expect(dueSoon(toolsOf(statements, '2027-06-01')).map(({ tool }) => tool)).toEqual(['TW-9'])
    const verdict = readTag(entriesOf(statements), 'torque_wrench', 'TW-2', TODAY)
    expect(verdict).toEqual({
      is: 'refused',
      trouble: {
        code: 'tool-retired',
        message: 'TW-2: it was taken out of use: fell',
        hint: 'Hang it aside, so that nobody takes it again, and read the tag of another tool.',
      },
    })
  })

  test('that is registered again is back', () => {
    const statements = [
      ...registered,
      held('tool.retired', { tool: 'TW-2', because: 'lost' }),
      held('tool.registered', wrench),
    ]
    expect(readTag(entriesOf(statements), null, 'TW-2', TODAY).is).toBe('fit')
  })

  test('has a next check that is still to come, and not in another decade', () => {
    const draft = { on: '2025-11-20', due: '2026-11-20', certificate: '' }
    const fault = (due: string) => {
      const found = checkCheck({ ...draft, due }, 'TW-2', TODAY)
      return found.ok ? null : found.faults.due
    }
    expect(fault('2026-11-25')).toBeNull()
    expect(fault('2026-11-20')).toContain('This day is past')
    expect(fault('2126-11-20')).toContain('more than 5 years')
  })
})

describe('a permit', () => {
  const given = (person: string, on: string, until?: string) =>
    held('permit.given', { person, permit: 'high_voltage', on, ...(until ? { until } : {}) })

  test('holds from its day to its last day, and no longer than it is ended', () => {
    const statements = [given('mira', '2026-01-01', '2026-12-10')]
    const [permit] = permitsOf(statements)
    const on = (day: string) => permitsOn(statements, 'mira', day).length
    expect([on('2025-12-31'), on('2026-01-01'), on('2026-12-10'), on('2026-12-11')]).toEqual([0, 1, 1, 0])
    expect(permitsOn(statements, 'ola', '2026-06-01')).toEqual([])
    statements.push(
      held('permit.ended', { permit: permit!.entry, because: 'left' }, { at: '2026-06-05T10:00:00.000Z' }),
    )
    expect([on('2026-06-04'), on('2026-06-05')]).toEqual([1, 0])
    expect(permitWords(permitsOf(statements)[0]!, TODAY)).toBe('ended on 5 Jun 2026: left')
  })

  test('says how it stands', () => {
    const words = (on: string, until?: string) =>
      permitWords(permitsOf([given('mira', on, until)])[0]!, TODAY)
    expect(words('2026-12-01')).toBe('from 1 Dec 2026 on')
    expect(words('2026-01-01')).toBe('holds, without an end')
    expect(words('2026-01-01', '2027-06-01')).toBe('holds until 1 Jun 2027')
    expect(words('2026-01-01', '2026-11-25')).toBe('holds until 25 Nov 2026, one day more')
    expect(words('2026-01-01', '2026-11-23')).toContain('is over since 23 Nov 2026')
    expect([permitName('high_voltage'), permitName('drives_the_crane')]).toEqual([
      'high voltage',
      'drives the crane',
    ])
  })

  test('that lapses is told, unless another carries it on', () => {
    const statements = [
      given('mira', '2024-01-01', '2026-11-30'),
      given('ola', '2024-01-01', '2026-11-30'),
      given('ola', '2026-11-01', '2028-11-30'),
      given('tam', '2024-01-01', '2026-01-31'),
    ]
    expect(lapsing(permitsOf(statements), TODAY).map(({ person }) => person)).toEqual(['mira', 'tam'])
  })

  test('that somebody gave who may not says nothing', () => {
    const doubted = { ...given('mira', '2026-01-01'), standing: 'doubted' as const }
    expect(permitsOf([doubted])).toEqual([])
  })
})

describe('a set', () => {
  const set = {
    set: 'LS-1',
    type: 'locking_set',
    label: 'the red case',
    engine_codes: ['PL-8'],
    pieces: [{ piece: 'crank pin' }],
  }

  test('is what was said of it last, and stands last when it is not there any more', () => {
    const statements = [
      held('set.registered', set),
      held('set.registered', { ...set, set: 'A-1', type: 'kit' }),
      held('set.registered', { ...set, set: 'ls1', pieces: [{ piece: 'crank pin' }, { piece: 'cam pin' }] }),
      held('set.retired', { set: 'A-1', because: 'sold' }),
    ]
    const sets = setsOf(statements)
    expect(sets.map(({ set: name, retired }) => [name, retired])).toEqual([
      ['ls1', null],
      ['A-1', 'sold'],
    ])
    expect(setOf(sets, 'LS-1')?.pieces).toHaveLength(2)
    expect(checkBody('set.registered', set)).toBe(true)
  })
})

test('a device is called what it was named last', () => {
  const enrolled = [
    held('device.invited', { key: 'k', role: 'mechanic', person: 'mira', until: '2026-12-01T00:00:00.000Z' }),
  ]
  const invitation = enrolled[0]!.entry.id
  const came = held('device.enrolled', { key: 'k', invitation, countersign: 's' })
  Object.assign(came.entry, { device: 'phone', person: 'mira' })
  const named = ['a', 'b'].map((blob) => held('device.named', { device: 'phone', name: { blob } }))
  const [row] = peopleOf([...enrolled, came, ...named], '2026-11-24T00:00:00.000Z')
  expect(row?.devices[0]?.name).toEqual({ blob: 'b' })
})

test('a file that is none of those that are taken is refused in a sentence', () => {
  const file = (type: string, size: number) => ({ type, size }) as File
  expect(fileFault(file('application/pdf', 5))).toBeUndefined()
  expect(fileFault(null)).toBeUndefined()
  expect(fileFault(file('text/html', 5))).toContain('A PDF or a picture')
  expect(pictureFault(file('application/pdf', 5))).toContain('A picture is asked for')
  expect(fileFault(file('image/png', 0))).toContain('empty')
  expect(fileFault(file('image/png', 21_000_000))).toContain('at most')
})
