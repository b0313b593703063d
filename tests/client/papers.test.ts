/** What the customer is told, what stands on a sticker, what the books are given: counted out of a job's log. */
import { describe, expect, test } from 'vitest'
import { csvText } from '@client/work/csv'
import { customerOf, dayOf, dueOfJob, footWords, handOver, isFinished } from '@client/work/hand-over'
import { invoiceFacts, invoiceTable } from '@client/work/invoice'
import { jobCode } from '@client/work/job-code'
import { handOverStep } from '@client/work/last-signature'
import { addMonths, dueOf } from '@client/work/next-due'
import { partsIn, usedOnce } from '@client/work/parts-used'
import { jobRecord, phaseTimes } from '@client/work/record'
import { sectionsOf } from '@client/work/sheet'
import { timeSpent } from '@client/work/time-spent'
import { spent } from '@client/trade/hours'
import { openPages } from '@client/work/customer-page'
import type { Bundle } from '@client/procedure/bundle'
import type { Held } from '@client/store'
import { bundle, Log, MINUTE, row, upToTurn } from './baywork'

const BY = { workshop: 'f'.repeat(64), workshopName: 'Riverside Belts' }
const record = (log: Log, its: Bundle = bundle) => jobRecord(row, its, log.held, [])

function closed(): Log {
  const log = upToTurn()
  log.done('turn')
  log.add('job.closed', { end: 'finished' })
  return log
}
const told = (log: Log, under: string, its = bundle) =>
  handOver(record(log, its), BY).flatMap((each) =>
    each.under === under ? [`${each.name}: ${each.says ?? JSON.stringify(each.value)}`] : [],
  )

test('a phase is begun by the first step that is done there, though nothing moves in it', () => {
  const log = new Log()
  const first = () => phaseTimes(record(log))[0]?.time
  expect(first()).toBeNull()
  log.done(bundle.steps[0]!.id)
  expect(first()).toBe(log.held.at(-1)?.entry.at)
})

test('the photo of a finding goes by words, not by its name in the record', () => {
  const log = new Log()
  const step = bundle.steps[0]!.id
  log.add('photo.taken', {
    step,
    name: 'finding',
    blob: 'a'.repeat(64),
    size: 1,
    type: 'image/jpeg',
    width: 4,
    height: 3,
    how: 'live',
  })
  expect(record(log).steps[0]?.photos[0]?.label).toBe('what was found')
})

describe('the next change', () => {
  // TC39 Temporal, PlainDate.prototype.add, overflow "constrain": a day that a month lacks is its last one.
  test.each([
    ['2026-11-30', 72, '2032-11-30'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2024-02-29', 48, '2028-02-29'],
    ['2026-08-31', 6, '2027-02-28'],
    ['2026-12-01', 1, '2027-01-01'],
    ['2026-01-31', 0, '2026-01-31'],
  ])('%s and %i months are %s', (day, months, due) => expect(addMonths(day, months)).toBe(due))

  test('is a day and a reading, and lacks what the job did not read', () => {
    expect(dueOf({ months: 60, km: 90_000 }, 88_650, '2026-11-24')).toEqual({
      day: '2031-11-24',
      km: 178_650,
    })
    expect(dueOf({ months: 60, km: 90_000 }, 0, null)).toEqual({ day: null, km: null })
  })

  test('counts from the day on which the job was closed, and from its own odometer', () => {
    expect(dueOfJob(record(closed()))).toEqual({ day: '2031-11-24', km: 90_100 })
  })

  test('is told after a finished job alone', () => {
    expect(told(closed(), 'Next change')[0]).toBe('By date: 24 Nov 2031')
    const stopped = upToTurn()
    stopped.add('job.closed', { end: 'recovered', because: { blob: 'why' } })
    expect(told(stopped, 'Next change')).toEqual([])
    expect(told(stopped, 'What was done').slice(0, 2)).toEqual([
      'How it ended: Recovered',
      'Because: {"blob":"why"}',
    ])
  })
})

describe('the hand-over sheet', () => {
  test('says of work that goes on that it goes on', () => {
    expect(isFinished(record(upToTurn()))).toBe(false)
    expect(told(upToTurn(), 'What was done')[0]).toMatch(/^Not finished: /)
    expect(told(upToTurn(), 'To be looked at again')).toEqual([])
  })

  test('before the signature nothing is left but that', () => {
    const asks = { name: 'received', kind: 'signature', label: 'received by the driver' } as const
    const its = {
      ...bundle,
      steps: bundle.steps.map((step) => (step.id === 'turn' ? { ...step, proof: [asks] } : step)),
    }
    expect(handOverStep(its)).toBe('turn')
    expect(isFinished(record(upToTurn(), its))).toBe(true)
    expect(handOverStep(bundle)).toBe(null)
    // The sticker is stuck on before that, in the same phase.
    const phases = [...its.phases, { id: 'close', name: 'Close' }]
    const inClose = its.steps.map((step) =>
      step.id === 'turn' || step.id === 'torque' ? { ...step, phase: 'close' } : step,
    )
    const log = new Log()
    for (const step of ['pin_in', 'slacken', 'set']) log.done(step)
    expect(isFinished(record(log, its))).toBe(false)
    expect(isFinished(record(log, { ...its, phases, steps: inClose }))).toBe(true)
  })

  test('tells a torque with its window and its wrench, as it was read last', () => {
    const log = new Log()
    for (const step of ['pin_in', 'slacken', 'set']) log.done(step)
    log.torque('25.2')
    log.done('torque', [log.torque('26')])
    expect(told(log, 'How it is proven')[0]).toBe('Nut: 26 N·m, with TW-2')
    const { held } = log
    const body = held.at(-2)!.entry.body as { low?: string; high?: string }
    body.low = '25'
    body.high = '27'
    expect(told(log, 'How it is proven')[0]).toBe('Nut: 26 N·m (right: 25 to 27 N·m), with TW-2')
  })

  test('does not hide what did not hold at first', () => {
    const log = upToTurn()
    log.add('step.failed', { step: 'turn', failure: 'pointer_out', proof: [] })
    expect(told(log, 'What was found')).toEqual([
      'Did not hold at first: The pointer is off the notch. It was not put right in this job.',
    ])
    expect(told(closed(), 'What was found')).toEqual(['Found: Nothing that asks for more work.'])
  })

  test('tells what was found, what the customer said to it, and the work that was added', () => {
    const log = closed()
    const finding = log.add('finding.noted', { step: 'turn', words: { blob: 'oil' } })
    const extra = log.add('extra.added', { finding, what: { blob: 'seal' }, part: 'S-4', minutes: 30 })
    expect(told(log, 'What was found')).toEqual([
      'Found: It is not decided what is done about it. Ask the workshop.',
      'Work for it: Still to do.',
    ])
    log.add('finding.answered', { finding, answer: 'no', how: 'call' })
    expect(told(log, 'What was found')[0]).toBe('Found: You said no. It is as it was found.')
    log.add('finding.answered', { finding, answer: 'yes', how: 'signature', extras: [extra] })
    log.add('extra.done', { extra, words: { blob: 'w' } })
    log.add('finding.settled', { finding, how: 'done' })
    expect(told(log, 'What was found')).toEqual(['Found: It was put right.', 'Work for it: Done.'])
    const facts = invoiceFacts(record(log)).filter(({ section }) => section === 'Findings and consents')
    expect(
      facts.map(({ item, article, quantity, unit, says }) => [item, article, quantity, unit, says]),
    ).toEqual([
      ['Found', '', '', '', ''],
      ['The customer says yes', '', '', '', 'signed on the glass'],
      ['Added work', 'S-4', '30', 'min', 'done, part S-4, 30 min'],
    ])
  })

  test('does not hide that a tool was found to be wrong since', () => {
    const log = closed()
    const check = {
      tool: 'TW-2',
      on: '2026-11-25',
      unit: 'N·m',
      allowed_percent: '4',
      points: ['20', '60', '100'].map((nominal) => ({ nominal, found: String(Number(nominal) * 0.91) })),
    }
    const stated = {
      entry: { id: 'c', kind: 'tool.checked', body: check, at: '2026-11-25T08:00:00.000Z' },
      standing: 'good',
    } as unknown as Held
    const rows = handOver(jobRecord(row, bundle, log.held, [stated]), BY)
    // 9 % low (ISO 6789-2: what a wrench delivers against what it is set to): 26 N·m was 23.7.
    expect(rows.find(({ name }) => name === 'Tool TW-2 was found to be wrong')?.says).toMatch(
      /^nut: 26 N·m was read; when the tool was checked on 25 Nov 2026, that came to 23\.7 N·m\./,
    )
  })

  test('has the parts that are in the engine, with article number and lot', () => {
    const log = upToTurn()
    const fit = (lot: string, code?: string) =>
      log.add('part.fitted', {
        step: 'pin_in',
        name: 'lot',
        part: 'belt',
        lot,
        ...(code === undefined ? {} : { code }),
      })
    fit('NH-1')
    // GS1 General Specifications, section 3: (01) is the trade item, (10) the lot.
    fit('NH-2', ']d20109506000134352\x1d10NH-2')
    expect(partsIn(record(log)).map(({ label, article, lot }) => [label, article, lot])).toEqual([
      ['timing belt', '09506000134352', 'NH-2'],
    ])
    expect(told(log, 'Parts put in')).toEqual(['Timing belt: article 09506000134352, lot NH-2'])
  })

  test('without a lot, a customer, an odometer or a clock it is still a sheet', () => {
    const log = closed()
    for (const { entry } of log.held) (entry as { at: string }).at = 'no clock'
    const bare = jobRecord({ ...row, odometerKm: 0 }, bundle, log.held, [])
    expect(customerOf(bare)).toBe(null)
    expect(dayOf(bare)).toBe(null)
    const words = handOver(bare, BY).map(({ name, says }) => `${name}: ${says}`)
    expect(words).toContain('Odometer: not read in this job')
    expect(words).toContain('Day: the phone had no clock that can be believed')
    expect(words).toContain('By date: Ask the workshop: this job has neither its day nor its odometer.')
    expect(words).toContain('No lot was noted: Ask the workshop for the label of the kit.')
  })

  test('names the customer by a private value, and nobody in clear', () => {
    const log = closed()
    ;(log.held[0]!.entry.body as { customer?: object }).customer = { blob: 'c' }
    expect(told(log, 'The vehicle')).toContain('Customer: {"blob":"c"}')
  })

  test('is told in miles where the dial counts miles, with the kilometres of the record beside', () => {
    // 1.609344 km, exactly: NIST SP 811 (2008), appendix B.8.
    const log = closed()
    Object.assign(log.held[0]!.entry.body, { odometer_unit: 'mi' })
    const words = handOver(record(log), BY).map(({ name, says }) => `${name}: ${says}`)
    expect(words).toContain('Odometer: 62 miles (100 km)')
    expect(words).toContain('By odometer: 55\u202f986 miles (90\u202f100 km)')
    expect(words).toContain('A look by the workshop: At about 684 miles on the odometer.')
    const [fact] = invoiceFacts(record(log)).filter(({ item }) => item === 'Odometer')
    expect(fact).toMatchObject({ quantity: '62', unit: 'miles', says: '100 km' })
  })

  test('has no fingerprint but in one short line at its foot', () => {
    const rows = JSON.stringify(handOver(record(closed()), BY))
    expect(rows).not.toContain(BY.workshop.slice(0, 12))
    expect(footWords(record(closed()), BY)).toMatch(/^Record e\d+ of workshop f{12}$/)
  })

  test('every line is one that an entry can keep', () => {
    const long = 'x'.repeat(700)
    const its = { ...bundle, steps: bundle.steps.map((step) => ({ ...step, title: long })) }
    for (const { under, name, says } of handOver(record(closed(), its), BY)) {
      expect(under.length).toBeLessThanOrEqual(64)
      expect(name.length).toBeLessThanOrEqual(200)
      expect(says?.length ?? 0).toBeLessThanOrEqual(500)
    }
  })
})

test('a job is called by the end of its id, in two groups', () => {
  expect(jobCode('0193f4c2-7a10-7c3e-8b2d-6f5e4d3c2b1a')).toBe('4d3c-2b1a')
})

test('rows stand under their headings, in the order in which these come first', () => {
  const rows = [{ under: 'a' }, { under: 'b' }, { under: 'a' }]
  expect(sectionsOf(rows).map(({ under, rows: its }) => [under, its.length])).toEqual([
    ['a', 2],
    ['b', 1],
  ])
})

describe('time', () => {
  test('is counted by phase; what is longer than an hour is a pause', () => {
    const log = new Log()
    log.done('pin_in') // a minute after the opening
    log.clock += 69 * MINUTE
    log.done('slacken')
    expect(timeSpent(record(log))).toMatchObject({
      phases: [{ name: 'Drive', minutes: 1 }],
      minutes: 1,
      pauses: [{ minutes: 70, isParked: false }],
      back: 0,
    })
  })

  test('is what a quote counts by', () => {
    const log = closed()
    log.clock += 90 * MINUTE
    log.add('note.added', { text: { blob: 'n' } })
    log.add('job.closed', { end: 'finished' })
    const at = log.held.map(({ entry }) => Date.parse(entry.at))
    const { minutes, pauses } = timeSpent(record(log))
    expect({ worked: minutes, paused: pauses[0]?.minutes }).toEqual(spent(at))
  })

  test('a job that is parked is parked, however short', () => {
    const log = new Log()
    log.done('pin_in')
    log.add('job.parked', { why: 'part', part: 'seal' })
    log.clock += 9 * MINUTE
    log.add('job.resumed', {})
    log.done('slacken')
    expect(timeSpent(record(log))).toMatchObject({ minutes: 3, pauses: [{ minutes: 10, isParked: true }] })
  })

  test('a call days before, and what the desk says days after, is no work and no pause', () => {
    const log = closed()
    const { minutes } = timeSpent(record(log))
    log.clock += 3000 * MINUTE
    log.add('review.approved', {})
    log.add('note.added', { text: { blob: 'n' } })
    expect(timeSpent(record(log))).toMatchObject({ minutes, pauses: [] })
  })

  test('a clock that went back is told, and adds nothing', () => {
    const log = new Log()
    log.done('pin_in')
    log.clock -= 30 * MINUTE
    log.done('slacken')
    expect(timeSpent(record(log)).back).toBe(1)
  })
})

describe('the facts for an invoice', () => {
  const its: Bundle = {
    ...bundle,
    kit: [...bundle.kit, { part: 'bolt', label: 'stretch bolt', count: 2, single_use: true }],
    steps: bundle.steps.map((step) =>
      step.id === 'slacken' ? { ...step, uses: [{ part: 'bolt', count: 2 }] } : step,
    ),
  }

  test('a step that was done again took new parts', () => {
    const log = new Log()
    log.done('pin_in')
    log.done('slacken')
    log.add('step.reopened', { step: 'slacken', because: { blob: 'b' } })
    log.done('slacken')
    expect(usedOnce(record(log, its))).toEqual([{ label: 'stretch bolt', count: 4 }])
  })

  test('litres come in and out as they were read; nothing has a price', () => {
    const log = closed()
    log.add('reading.taken', { step: 'set', name: 'litres_out', value: '6.4', unit: 'L' })
    const facts = invoiceFacts(record(log, its))
    expect(facts.find(({ unit }) => unit === 'L')).toMatchObject({ section: 'Coolant', quantity: '6.4' })
    expect(JSON.stringify(facts)).not.toMatch(/price|€|£|\$/i)
  })

  test('the table has a head, a cell for each column, and the words of private values as they are given', () => {
    const table = invoiceTable(invoiceFacts(record(closed(), its)), ({ blob }) => `<${blob}>`)
    expect(table[0]).toEqual([
      'section',
      'item',
      'article number',
      'lot',
      'quantity',
      'unit',
      'from',
      'to',
      'note',
    ])
    expect(new Set(table.map((cells) => cells.length))).toEqual(new Set([9]))
    expect(table).toContainEqual(['Job', 'Plate', '', '', '', '', '', '', '<p>'])
  })
})

test("a customer's page is open until its time, or until it is ended", () => {
  const log = closed()
  const rows = [{ under: 'a', name: 'b', says: 'c' }]
  const share = (until: string) => log.add('page.shared', { token: 'a'.repeat(64), until, rows })
  const page = share('2026-12-24T08:00:00.000Z')
  share('2026-11-25T08:00:00.000Z')
  const now = new Date('2026-12-01T00:00:00Z')
  expect(openPages(log.held, now).map(({ entry }) => entry)).toEqual([page])
  log.add('page.ended', { page })
  expect(openPages(log.held, now)).toEqual([])
})

test('what somebody typed into a lot cannot become a formula in a table program', () => {
  // OWASP, "CSV Injection": a cell that begins with = + - @ is run; an apostrophe before it makes it text.
  const log = closed()
  log.add('part.fitted', { step: 'pin_in', name: 'lot', part: 'belt', lot: '=cmd|" /C calc"!A1' })
  const text = csvText(invoiceTable(invoiceFacts(record(log)), () => '@SUM(1)'))
  expect(text).toContain(`,"'=cmd|"" /C calc""!A1",`)
  expect(text).toContain(",'@SUM(1)\r\n")
  expect(text).not.toMatch(/(^|,)"?[=+@-](?![0-9])/m)
})
