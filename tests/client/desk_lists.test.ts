/** What the owner's lists work out before they show it: how jobs stand, what is due, figures, a workshop's beginning. */
import { describe, expect, test } from 'vitest'
import type { DueRow, FiguresAnswer, StepRow } from '@client/ledger/answers'
import { checkPermit } from '@client/screens/desk/permit-draft'
import { bodyOf, draftOf, faultsOf, NEW_PIECE } from '@client/screens/desk/set-draft'
import { urgencyOf, whenWords, whyWords } from '@client/work/due'
import { firstRun, nextNeed } from '@client/work/first-run'
import { cameWords, promiseWords, standsWords, type Stands } from '@client/work/job-stands'
import type { Permit } from '@client/work/permits'
import { redoneOf, redoneWords } from '@client/work/redone'
import type { JobRecord, StepRecord } from '@client/work/record'
import { settlingsOf, unreadAnswers } from '@client/work/settled'
import { longest, mostRedone, shareOf, totalsOf } from '@client/work/workshop-figures'
import type { Held } from '@client/store'

let count = 0

function held(kind: string, body: object, over: object = {}): Held {
  count += 1
  const entry = { id: `id-${count}`, kind, body, at: '2026-11-24T08:00:00.000Z', device: 'd', person: 'p' }
  Object.assign(entry, { seq: count, job: null }, over)
  return { entry, place: 'workshop', index: count, standing: 'good', mine: false } as unknown as Held
}

const open: Stands = {
  state: 'open',
  exceptions: 0,
  questions: 0,
  answered: 0,
  findings: 0,
  planned: null,
  parked: null,
  done: 12,
  steps: 46,
  is_closed: false,
}

describe('how a job stands', () => {
  test('is told in words, with what waits in it', () => {
    expect(standsWords(open)).toBe('In work, 12 of 46 steps hold')
    expect(standsWords({ ...open, done: 0 })).toBe('Opened, no step done yet')
    expect(standsWords({ ...open, exceptions: 2, questions: 1, answered: 1, findings: 1 })).toBe(
      'In work, 12 of 46 steps hold; 2 things ask for eyes; one question is open; an answer is to be read; one finding is open',
    )
    expect(standsWords({ ...open, state: 'closed', is_closed: true })).toBe('Done, waits for approval')
    expect(standsWords({ ...open, state: 'enquiry' })).toBe('Asked for, not opened yet')
  })

  test('is told where the workshop has not folded it yet', () => {
    const unknown = { ...open, state: null, exceptions: null, questions: null, done: null, steps: null }
    expect(standsWords(unknown)).toBe('In work')
    expect(standsWords({ ...unknown, is_closed: true })).toBe('Done, waits for approval')
  })

  test('says why it is parked', () => {
    const parked = { why: 'part', part: 'water pump' }
    expect(standsWords({ ...open, parked })).toBe('Parked: a part is missing (water pump)')
    expect(standsWords({ ...open, parked: { why: 'customer', part: null } })).toBe(
      'Parked: the customer decides',
    )
  })

  test('says what was promised, until it has left', () => {
    const planned = { person: null, promised: '2026-11-24T16:00:00.000Z' }
    const now = Date.parse('2026-11-24T17:00:00.000Z')
    expect(promiseWords(open, now)).toBeNull()
    expect(promiseWords({ ...open, planned }, now)).toContain('past')
    expect(promiseWords({ ...open, planned, is_closed: true }, now)).toBeNull()
  })

  test('a day’s entries are told by what they say, and else by their number', () => {
    const kinds = { 'step.begun': 9, 'step.done': 8, 'step.failed': 1, 'photo.taken': 3 }
    expect(cameWords({ kinds })).toBe('One step did not hold; 8 steps done; 3 photos')
    expect(cameWords({ kinds: { 'step.begun': 2 } })).toBe('2 entries')
  })
})

const due = {
  day: '2027-02-01',
  earliest: '2027-01-01',
  latest: '2027-03-04',
  by: 'distance',
  limit_km: 170000,
  limit_day: '2032-11-24',
  km_a_year: 42000,
  even_km_a_year: 18300,
} as DueRow

describe('what is due', () => {
  test('has a band where the vehicle’s own use is known, and its last day where it is not', () => {
    expect(whenWords(due)).toBe('about 1 Feb 2027, between 1 Jan 2027 and 4 Mar 2027')
    expect(whyWords(due)).toContain('its own use is 42\u202f000 km a year, so the distance comes first')
    const once: DueRow = { ...due, by: 'date', km_a_year: null, day: due.limit_day }
    expect(whenWords(once)).toBe('at the latest on 24 Nov 2032')
    expect(whyWords(once)).toContain('with more than 18\u202f300 km a year it is due sooner')
  })

  test('is over, soon, or later', () => {
    expect(
      ['2026-11-23', '2026-11-24', '2027-01-23', '2027-01-24'].map((day) => urgencyOf({ day }, '2026-11-24')),
    ).toEqual(['over', 'soon', 'soon', 'later'])
  })
})

test('figures: shares, where the time goes, and what is done twice', () => {
  const step = (name: string, minutes: number | null, failed = 0, again = 0): StepRow => ({
    procedure: 'van',
    step: name,
    jobs: 1,
    minutes,
    slow_minutes: minutes,
    failed,
    again,
  })
  const steps = [step('1', 5), step('2', 12, 1), step('3', null, 0, 3), step('4', 8)]
  expect(longest(steps, 2).map((each) => each.step)).toEqual(['2', '4'])
  expect(mostRedone(steps, 5).map((each) => each.step)).toEqual(['3', '2'])
  expect([shareOf(1, 3), shareOf(0, 0)]).toEqual([33, null])
  const months = [
    { month: '2026-10', jobs: 3, first_time_right: 2, comebacks: 1 },
    { month: '2026-11', jobs: 1, first_time_right: 1, comebacks: 0 },
  ]
  const figures = { months, counts: { measured: 4, read: 2, said: 1 } } as unknown as FiguresAnswer
  expect(totalsOf(figures)).toEqual({ jobs: 4, firstTimeRight: 3, comebacks: 1, readings: 7 })
})

describe('a workshop that begins', () => {
  const none = { hasJob: false, hasBackup: false }
  const now = '2026-11-24T08:00:00.000Z'

  test('is told one thing to do after the other', () => {
    expect(nextNeed(firstRun([], none, now))).toBe('procedure')
    const published = held('bundle.published', { bundle: 'b', name: 'n', edition: 1, engine_codes: [] })
    expect(nextNeed(firstRun([published], none, now))).toBe('tool')
    const tool = held('tool.registered', { tool: 'TW-1', type: 'torque_wrench', label: 'x' })
    expect(nextNeed(firstRun([published, tool], none, now))).toBe('check')
    const retired = held('tool.retired', { tool: 'TW-1', because: 'fell' })
    expect(nextNeed(firstRun([published, tool, retired], none, now))).toBe('tool')
  })

  test('is told nothing more once all is there', () => {
    const invited = held('device.invited', { key: 'k', role: 'mechanic', person: 'mira', until: now })
    const came = held(
      'device.enrolled',
      { key: 'k', invitation: invited.entry.id, countersign: 's' },
      { person: 'mira' },
    )
    const all = [
      held('bundle.published', { bundle: 'b', name: 'n', edition: 1, engine_codes: [] }),
      held('tool.registered', { tool: 'TW-1', type: 'torque_wrench', label: 'x' }),
      held('tool.calibrated', { tool: 'TW-1', on: '2026-01-01', due: '2027-01-01' }),
      invited,
      came,
    ]
    expect(nextNeed(firstRun(all, none, now))).toBe('job')
    expect(nextNeed(firstRun(all, { hasJob: true, hasBackup: true }, now))).toBeNull()
  })
})

describe('what an owner has seen to', () => {
  const because = { blob: 'w' }

  test('a notice is settled by each owner who said so, of the tool that it is of', () => {
    const log = [
      held('notice.settled', { notice: 'tool-not-calibrated', about: 'TW-2', because }, { person: 'odile' }),
      held('notice.settled', { notice: 'tool-not-calibrated', about: 'TW-2', because }, { person: 'bram' }),
      held('notice.settled', { notice: 'shown-before', because }),
    ]
    const of = (code: string, tool: string | null) =>
      settlingsOf(log, { code, tool }).map(({ person }) => person)
    expect(of('tool-not-calibrated', 'TW-2')).toEqual(['odile', 'bram'])
    expect(of('tool-not-calibrated', 'TW-3')).toEqual([])
    expect(of('shown-before', null)).toEqual(['p'])
  })

  test('an answer stays to be read until an owner says something after it', () => {
    const asked = held('review.returned', { step: 's', question: { blob: 'q' } })
    const answer = held('review.answered', { question: asked.entry.id, words: { blob: 'a' } })
    expect(unreadAnswers([asked, answer])).toEqual([answer.entry.id])
    expect(unreadAnswers([asked, answer, held('note.added', { text: { blob: 'n' } })])).toHaveLength(1)
    const read = held('notice.settled', { notice: 'question-answered', because })
    expect(unreadAnswers([asked, answer, read])).toEqual([])
    expect(unreadAnswers([asked, answer, held('review.approved', {})])).toEqual([])
    expect(unreadAnswers([asked, answer, read, held('review.answered', { question: 'x' })])).toHaveLength(1)
  })
})

test('what broke and was done again is told with its times, and whether it holds now', () => {
  const failed = held(
    'step.failed',
    { step: 'pump', failure: 'leaks', proof: [] },
    { at: '2026-11-24T09:10:00.000Z' },
  )
  const again = held(
    'step.reopened',
    { step: 'pump', because: { blob: 'w' } },
    { at: '2026-11-24T09:30:00.000Z' },
  )
  const step = {
    index: 0,
    step: { id: 'pump', number: '20', title: 'Pump off', undo: false },
    seal: 'holds',
    doneAt: '2026-11-24T09:50:00.000Z',
    failures: [{ held: failed, says: 'Oil shows.' }],
  } as unknown as StepRecord
  const whole = { ...step, index: 1, step: { ...step.step, id: 'other' }, failures: [] }
  const record = { steps: [step, whole], held: [failed, again] } as unknown as JobRecord
  const [redone, ...rest] = redoneOf(record)
  expect(rest).toEqual([])
  expect(redoneWords(redone!)).toMatch(
    /^20: at 09:10 UTC it did not hold \(Oil shows\); at 09:30 UTC it was opened again\. It holds now, done at 09:50 UTC\.$/,
  )
  expect(redoneWords({ ...redone!, holds: false })).toContain('It does not hold.')
})

describe('the form of a set', () => {
  const draft = {
    ...draftOf(null, 'locking_set'),
    set: ' LS-1 ',
    label: 'the red case',
    engines: 'PL-8, PL-8; QL-19',
  }

  test('says what is missing', () => {
    expect(faultsOf({ ...draft, set: '' }, []).set).toContain('Write the number')
    expect(faultsOf(draft, ['ls 1']).set).toContain('registered already')
    expect(faultsOf(draft, []).pieces).toContain('one piece at least')
  })

  test('states what was typed, and keeps the pictures that are there', async () => {
    const picture = { blob: 'b', size: 1, type: 'image/png' }
    const pieces = [{ ...NEW_PIECE, piece: 'crank pin', says: 'long', picture }, NEW_PIECE]
    expect(faultsOf({ ...draft, pieces }, [])).toEqual({})
    expect(await bodyOf({ ...draft, pieces }, async () => picture)).toEqual({
      set: 'LS-1',
      type: 'locking_set',
      label: 'the red case',
      engine_codes: ['PL-8', 'QL-19'],
      pieces: [{ piece: 'crank pin', says: 'long', picture }],
    })
  })
})

test('the form of a permit refuses what allows nothing', () => {
  const draft = { permit: 'high_voltage', on: '2026-11-01', until: '2027-11-01' }
  const faults = (changed: object, mine: Permit[] = []) => {
    const checked = checkPermit({ ...draft, ...changed }, mine, '2026-11-24')
    return checked.ok ? '' : Object.values(checked.faults).join()
  }
  expect(checkPermit(draft, [], '2026-11-24')).toEqual({ ok: true, body: draft })
  expect(checkPermit({ ...draft, until: '' }, [], '2026-11-24')).toEqual({
    ok: true,
    body: { permit: 'high_voltage', on: '2026-11-01' },
  })
  expect(faults({ on: '' })).toContain('Choose the day')
  expect(faults({ until: '2026-10-01' })).toContain('end before it begins')
  expect(faults({ on: '2025-01-01', until: '2026-11-23' })).toContain('That day is past')
  const there = { permit: 'high_voltage', on: '2026-01-01', until: null, ended: null } as Permit
  expect(faults({}, [there])).toContain('one already that has no end')
  expect(faults({}, [{ ...there, until: '2027-01-01' }])).toBe('')
})
