/** A call: what is typed, what is made of it, what is asked back, and what is carried over into a job. */
import { describe, expect, test } from 'vitest'
import type { Entry } from '@client/ledger/entry'
import type { BundleRow, Held, JobView } from '@client/store'
import { enquiries, type EnquiryRow } from '@client/work/enquiries'
import { emptyView } from '@client/store/view'
import { whereOf } from '@client/screens/bay/address'
import { draftOf, stageOf } from '@client/screens/bay/open-draft'
import {
  askedBack,
  callIn,
  clearOf,
  draftOfCall,
  dueOf,
  enquiryWords,
  factsOf,
  fittedDay,
  fittedFault,
  NO_ENQUIRY,
  plateKey,
  quoteOf,
  saidOf,
  warningOf,
} from '@client/work/enquiry'
import { placeSaid, stageAt, stagesOf } from '@client/work/enquiry-stages'
import { hoursHere, hoursOf, hoursWords } from '@client/work/hours-here'
import { knownVehicle, NOTHING_KNOWN } from '@client/work/known-vehicle'
import { odometerAsked } from '@client/work/odometer-before'
import { carriedOr, doubtsOf, odometerDoubtOf, procedureFor, type CarriedCall } from '@client/work/opening'
import { giveProofs } from '@client/work/write'
import { dialled } from '@client/work/telephone'
import { takeCall } from '@client/work/write-enquiry'
import { row } from './baywork'

const TODAY = '2026-06-01'
const INTERVAL = { km: 90_000, months: 60 }
const draft = (over: Partial<typeof NO_ENQUIRY>) => ({ ...NO_ENQUIRY, ...over })

describe('what is typed', () => {
  test.each([
    ['2020', '2020-01-01'],
    ['5.2020', '2020-05-01'],
    ['1.5.2020', '2020-05-01'],
    ['2020-05', '2020-05-01'],
    ['29/2/2024', '2024-02-29'],
    ['29.2.2023', null],
    ['13.2020', null],
    ['20', null],
    ['spring', null],
    ['', null],
  ])('%s is the day %s, the first that it may be', (typed, day) => {
    expect(fittedDay(typed)).toBe(day)
  })

  test('a plate is compared in whatever letters, and a number dialled without its blanks', () => {
    expect(plateKey('äb-12 ω')).toBe(plateKey('ÄB 12Ω'))
    expect(plateKey(' - ')).toBe('')
    expect(dialled('+99 (55) 12-34')).toBe('+99551234')
  })

  test('a day to come, a distance beyond the odometer and no figure are named', () => {
    expect(fittedFault(draft({ fittedOn: '2027' }), TODAY)).toContain('still to come')
    expect(fittedFault(draft({ fittedOn: 'x' }), TODAY)).toContain('No day')
    expect(fittedFault(draft({ fittedKm: '90 000', odometer: '88650' }), TODAY)).toContain('one of the two')
    expect(fittedFault(draft({ fittedKm: '6e4' }), TODAY)).toContain('Whole')
    expect(fittedFault(draft({ fittedOn: '2020', fittedKm: '60000', odometer: '88650' }), TODAY)).toBeNull()
  })
})

describe('is it due', () => {
  test('in miles as in kilometres, and in hard use sooner', () => {
    const miles = draft({ fittedKm: '30000', odometer: '80000', inMiles: true })
    expect(dueOf(miles, INTERVAL, NOTHING_KNOWN, TODAY).limit.km).toBe(138_280)
    expect(dueOf({ ...miles, severe: 50 }, INTERVAL, NOTHING_KNOWN, TODAY).limit.km).toBe(93_280)
    expect(dueOf({ ...miles, severe: 50 }, INTERVAL, NOTHING_KNOWN, TODAY).code).toBe('overdue')
  })

  test('by a typed interval where no procedure says one, and not at all without any', () => {
    const typed = draft({ fittedOn: '2020', everyMonths: '60' })
    expect(dueOf(typed, null, NOTHING_KNOWN, TODAY).code).toBe('overdue')
    expect(dueOf(draft({}), null, NOTHING_KNOWN, TODAY).code).toBe('interval_unknown')
    expect(warningOf(draft({}), dueOf(draft({}), null, NOTHING_KNOWN, TODAY))).toBeNull()
  })

  test('a due date in the past warns, in the words that are kept', () => {
    const late = draft({ fittedOn: '2015', plate: 'TB 1' })
    const warned = warningOf(late, dueOf(late, INTERVAL, NOTHING_KNOWN, TODAY))
    expect(warned).toContain('Vehicle TB 1. It is due: the time was over on 2020-01-01.')
  })
})

describe('what is asked back', () => {
  const known = { readings: [{ on: '2025-06-01', km: 90_000 }], customers: ['Mira Oake'] }

  test('a reading lower than last time, and another customer, until they are confirmed', () => {
    const odd = draft({ odometer: '88650', customer: 'Bo Reed' })
    expect(askedBack(odd, known, TODAY).map(({ code }) => code)).toEqual(['odometer-lower', 'other_customer'])
    const one = { ...odd, confirmed: ['odometer_lower'] }
    expect(askedBack(one, known, TODAY).map(({ code }) => code)).toEqual(['other_customer'])
    expect(askedBack({ ...one, confirmed: ['odometer_lower', 'other_customer'] }, known, TODAY)).toEqual([])
  })

  test('nothing of the same customer, whose name is typed otherwise, or of an unknown vehicle', () => {
    const same = draft({ odometer: '99000', customer: ' mira oake ' })
    expect(askedBack(same, known, TODAY)).toEqual([])
    expect(askedBack(draft({ odometer: '1' }), NOTHING_KNOWN, TODAY)).toEqual([])
  })
})

describe('what is kept', () => {
  test('nothing about a person in clear', async () => {
    const said = draft({
      customer: 'Mira Oake',
      phone: '+99 55',
      plate: 'TB 1',
      words: 'it sings',
      said: { runs: 'no', stopped: 'yes' },
      noticed: ['whine'],
      fittedOn: '2015',
    })
    const verdict = dueOf(said, INTERVAL, NOTHING_KNOWN, TODAY)
    const secrets: string[] = []
    const entries: [string, unknown][] = []
    const store = {
      write: async (_: string | null, build: (writing: never) => Promise<void>) => {
        await build({
          secret: (field: string, value: string) => {
            secrets.push(`${field}: ${value}`)
            return Promise.resolve({ blob: field })
          },
          entry: (kind: string, body: unknown) => Promise.resolve(String(entries.push([kind, body]))),
        } as never)
        return []
      },
    }
    await takeCall(store, 'job', said, clearOf(said, INTERVAL, verdict), 'warned')
    expect(secrets).toEqual([
      'customer: Mira Oake',
      'phone: +99 55',
      'plate: TB 1',
      'words: it sings',
      'words: warned',
    ])
    expect(entries).toEqual([
      [
        'enquiry.taken',
        {
          noticed: ['whine'],
          fitted_on: '2015-01-01',
          interval_km: 90_000,
          interval_months: 60,
          due: 'overdue',
          due_on: '2020-01-01',
          triage: [
            { ask: 'runs', said: 'no' },
            { ask: 'stopped', said: 'yes' },
          ],
          advice: 'recover',
          because: ['stopped_running', 'hybrid_unknown', 'timing_belt'],
          told: ['do_not_crank', 'hybrid_shut'],
          customer: { blob: 'customer' },
          phone: { blob: 'phone' },
          plate: { blob: 'plate' },
          words: { blob: 'words' },
          warning: { blob: 'words' },
        },
      ],
    ])
  })

  test('a call that is changed begins as it stood, and names again the same blobs', async () => {
    const said = draft({
      said: { runs: 'yes' },
      noticed: ['whine'],
      odometer: '88650',
      fittedOn: '2015',
      severe: 75,
    })
    const clear = clearOf(said, INTERVAL, dueOf(said, INTERVAL, NOTHING_KNOWN, TODAY))
    const values = { plate: 'TB 1', customer: 'Mira', phone: '', vin: '', words: '' }
    const body = { ...clear, plate: { blob: 'p' }, customer: { blob: 'c' } }
    const again = draftOfCall(body, values)
    expect(clearOf(again, INTERVAL, dueOf(again, INTERVAL, NOTHING_KNOWN, TODAY))).toEqual(clear)
    const written: unknown[] = []
    const store = {
      write: async (_: string | null, build: (writing: never) => Promise<void>) => {
        await build({
          secret: async (field: string) => ({ blob: `new ${field}` }),
          entry: async (_kind: string, it: unknown) => String(written.push(it)),
        } as never)
        return []
      },
    }
    const before = { row: { ...asked, body }, values }
    await takeCall(store, 'job', { ...again, phone: '+99' }, clear, null, before)
    expect(written).toEqual([{ ...body, phone: { blob: 'new phone' } }])
  })

  test('a call of which nothing is known is kept, too', () => {
    const verdict = dueOf(NO_ENQUIRY, null, NOTHING_KNOWN, TODAY)
    // Nobody is advised before anything was asked.
    expect(clearOf(NO_ENQUIRY, null, verdict)).toEqual({ due: 'interval_unknown' })
  })

  test('it is told in words, and what a newer app wrote as it is', () => {
    expect(enquiryWords({ advice: 'recover', due: 'overdue' }, null)).toBe('Have it recovered. Belt overdue.')
    expect(enquiryWords({ advice: 'fly', due: 'perhaps' }, null)).toBe('fly. perhaps.')
    expect(enquiryWords({}, '2026-06-01T10:00:00.000Z')).toBe('The customer does not want it')
    expect(saidOf({ told: ['do_not_crank', 'sing'] }).told[1]).toBe('sing')
    expect(factsOf({ noticed: ['whine'], severe_percent: 50, due_km: 90_000 }).map(([, is]) => is)).toEqual([
      'Whines or squeals',
      '50 % of the interval',
      '90\u202f000 km',
    ])
  })
})

test('of several calls in a job the last one holds', () => {
  const said = (kind: string, at: string) => ({ entry: { kind, at, body: {} } as unknown as Entry })
  expect(callIn([said('job.opened', '1')])).toBeNull()
  const found = callIn([
    said('enquiry.taken', '1'),
    said('enquiry.declined', '2'),
    said('enquiry.taken', '3'),
  ])
  expect([found?.entry.at, found?.declined]).toEqual(['3', '2'])
})

describe('in which order', () => {
  test('what may hurt comes before who calls, and what need not be known is not asked', () => {
    const all = stagesOf({ said: {} }, false)
    expect(all.indexOf('advice')).toBeLessThan(all.indexOf('caller'))
    expect(all.slice(0, 3)).toEqual(['runs', 'stopped', 'cranked'])
    expect(all).toContain('interval')
    const less = stagesOf({ said: { runs: 'yes', stands: 'workshop' } }, true)
    expect(less.slice(0, 2)).toEqual(['runs', 'noticed'])
    expect(less).not.toContain('place')
    expect(less).not.toContain('interval')
    expect(placeSaid(['slope'])).toEqual({ traffic: 'no', slope: 'yes', dark: 'no' })
  })

  test('advice is not given before anything is said', () => {
    const said = { runs: 'no' } as const
    expect(stageAt('advice', { said: {} }, stagesOf({ said: {} }, false))).toBe('runs')
    expect(stageAt('advice', { said }, stagesOf({ said }, false))).toBe('advice')
    expect(stageAt(undefined, { said }, stagesOf({ said }, false))).toBe('runs')
  })

  test('each has its address', () => {
    expect(whereOf('#/bay/call/plate')).toEqual({ at: 'call', parts: ['plate', ''] })
    expect(whereOf('#/bay/call/J/no')).toEqual({ at: 'call', parts: ['J', 'no'] })
    expect(whereOf('#/bay/open/vin/J')).toEqual({ at: 'open', parts: ['vin', 'J'] })
  })
})

const bundle = (over: Partial<BundleRow>): BundleRow => ({
  bundle: 'sha',
  id: 'van',
  name: 'Van',
  edition: 1,
  engineCodes: ['K2'],
  offered: true,
  because: null,
  ...over,
})
const asked: EnquiryRow = {
  job: 'job',
  entry: 'e',
  body: { plate: { blob: 'p' }, odometer_km: 88_650, engine_code: 'K2' },
  at: '2026-06-01T10:00:00.000Z',
  person: 'x',
  declined: null,
}
const call: CarriedCall = {
  row: asked,
  values: { vin: '', plate: 'TB 1', customer: 'Mira', phone: '', words: '' },
}

describe('a job that a call becomes', () => {
  test('asks for nothing that the call said', () => {
    const carried = draftOf(call, [bundle({})])
    expect([carried.plate, carried.odometer, carried.code, carried.customer]).toEqual([
      'TB 1',
      '88650',
      'K2',
      'Mira',
    ])
    expect(stageOf('sum', carried)).toBe('vin')
    // 1.609344 km, exactly: NIST SP 811 (2008), appendix B.8.
    const body = { ...asked.body, odometer_km: 88_514, odometer_unit: 'mi' as const }
    const inMiles = draftOf({ ...call, row: { ...asked, body } }, [bundle({})])
    expect([inMiles.odometer, inMiles.inMiles]).toEqual(['55000', true])
    expect(stageOf('sum', { ...carried, vin: 'ZZ9DEMA24HB000123' })).toBe('bay')
    expect(stageOf('sum', { ...carried, vin: 'ZZ9DEMA24HB000123', bay: '2' })).toBe('sum')
  })

  test('chooses no procedure where two fit, or none', () => {
    const other = bundle({ id: 'other', bundle: 'sha2' })
    expect(procedureFor([bundle({}), other], 'K2')).toBeNull()
    expect(procedureFor([bundle({}), bundle({ edition: 2, bundle: 'new' })], 'K2')?.bundle).toBe('new')
    expect(draftOf(call, []).code).toBe('')
  })

  test('names the same blob where the value is the same', () => {
    expect(carriedOr(call, 'plate', 'TB 1')).toEqual({ blob: 'p' })
    expect(carriedOr(call, 'plate', 'TB 2')).toBe('TB 2')
    expect(carriedOr(call, 'vin', '')).toBe('')
    expect(carriedOr(null, 'plate', 'TB 1')).toBe('TB 1')
  })

  test('asks which is true where odometer or engine code is another', () => {
    const names = (km: number, code: string, from: CarriedCall | null = call) =>
      doubtsOf({ km, code }, from, { on: '2026-05-01', km: 88_000 }, TODAY).map(({ name }) => name)
    expect(names(88_650, 'K2')).toEqual([])
    expect(names(181_220, 'K2')).toEqual(['odometer_fast'])
    expect(names(8_865, 'Z9')).toEqual(['odometer_lower', 'engine_code_other'])
    expect(names(87_000, 'Z9', null)).toEqual(['odometer_lower'])
    expect(doubtsOf({ km: 1, code: '' }, null, null, TODAY)).toEqual([])
  })
})

const seen = (job: string, body: EnquiryRow['body'], at: string): JobView => ({
  ...emptyView(job),
  enquiry: { id: `of ${job}`, body, at, person: 'x' },
})

test('calls are those of jobs that are not opened, the newest first, with what was answered', async () => {
  const opened = { body: {}, at: '', person: '' } as unknown as NonNullable<JobView['opened']>
  const found = await enquiries({
    views: async () => [
      seen('old', {}, '2026-01-01T10:00:00.000Z'),
      { ...seen('no', {}, '2026-01-02T10:00:00.000Z'), declined: '2026-01-03T10:00:00.000Z' },
      { ...seen('open', {}, '2026-01-04T10:00:00.000Z'), opened },
      emptyView('note'),
    ],
  })
  expect(found.map(({ job, entry, declined }) => [job, entry, declined])).toEqual([
    ['no', 'of no', '2026-01-03T10:00:00.000Z'],
    ['old', 'of old', null],
  ])
})

describe('an odometer that is asked in a step', () => {
  const entry = (id: string, kind: string, body: object, at: string) =>
    ({
      entry: { id, kind, body, at, after: [], device: 'd', person: 'p', job: 'job', seq: 1 },
    }) as unknown as Held
  const proof = { name: 'odometer', kind: 'reading', label: 'odometer', unit: 'km' } as const
  const opening = entry('o', 'job.opened', { odometer_km: 88_650 }, `${TODAY}T08:00:00.000Z`)
  const read = entry(
    'r',
    'reading.taken',
    { name: 'odometer', unit: 'km', value: '88700' },
    `${TODAY}T09:00:00.000Z`,
  )

  test('is held against what was read last in this job, and nothing else is', () => {
    expect(odometerAsked(proof, [opening])).toEqual({ on: TODAY, km: 88_650, entry: 'o', unit: 'km' })
    expect(odometerAsked(proof, [opening, read])).toEqual({ on: TODAY, km: 88_700, entry: 'r', unit: 'km' })
    expect(odometerAsked({ ...proof, name: 'driven' }, [opening])).toBeNull()
    expect(odometerAsked({ ...proof, unit: 'mi' }, [opening])).toBeNull()
    expect(odometerAsked(proof, [])).toBeNull()
  })

  test('is a question where the two cannot both be, and one answer says which entry was wrong', () => {
    const before = odometerAsked(proof, [opening])
    const doubt = odometerDoubtOf(181_220, before, TODAY)!
    expect([doubt.name, doubt.corrects]).toEqual(['odometer_fast', 'o'])
    expect(doubt.answers).toContain(doubt.correcting)
    expect(odometerDoubtOf(88_655, before, TODAY)).toBeNull()
  })

  test('is kept with its answer: as a note, or as a correction of what was wrong', async () => {
    const written: [string, unknown][] = []
    const store = {
      write: async (_: string | null, build: (writing: never) => Promise<void>) => {
        await build({
          secret: async (field: string) => ({ blob: field }),
          entry: async (kind: string, body: unknown) => String(written.push([kind, body])),
        } as never)
        return []
      },
    } as never
    const asked = { moves: false, begunAt: null, step: { id: 'road' }, proofs: [] } as never
    const wanted = { proof, entry: null, says: '' } as never
    for (const corrects of [undefined, 'o']) {
      const given = {
        kind: 'figure',
        value: '181220',
        doubted: 'why',
        ...(corrects ? { corrects } : {}),
      } as const
      await giveProofs(store, 'job', asked, [[wanted, given]], false)
    }
    const reading = { step: 'road', name: 'odometer', value: '181220', unit: 'km' }
    expect(written).toEqual([
      ['reading.taken', reading],
      ['note.added', { step: 'road', text: { blob: 'words' } }],
      ['reading.taken', reading],
      ['reading.corrected', { of: 'o', value: '181220', because: { blob: 'words' } }],
    ])
  })
})

test('a vehicle is known by its plate, out of jobs and calls', async () => {
  const values: Record<string, string> = { p: 'tb-1', q: 'TB 1', c: 'Mira', d: 'Bo' }
  const store = {
    jobs: async () => [
      { ...row, odometerKm: 90, openedAt: '2026-02-01T10:00:00.000Z', customer: { blob: 'd' } },
      { ...row, plate: { blob: 'else' }, openedAt: '2026-03-01T10:00:00.000Z' },
    ],
    views: async () => [
      seen(
        'a',
        { plate: { blob: 'q' }, odometer_km: 80, customer: { blob: 'c' } },
        '2026-01-01T10:00:00.000Z',
      ),
      seen('b', {}, '2026-01-02T10:00:00.000Z'),
    ],
    secretValue: async ({ blob }: { blob: string }) => values[blob] ?? null,
  }
  expect(await knownVehicle(store, 'Tb 1')).toEqual({
    readings: [
      { on: '2026-01-01', km: 80 },
      { on: '2026-02-01', km: 90 },
    ],
    customers: ['Mira', 'Bo'],
  })
  expect(await knownVehicle(store, ' ')).toEqual(NOTHING_KNOWN)
})

test('hours are of the workshop where it answers, else of the finished jobs that are here', async () => {
  const at = (minute: number) => ({ entry: { at: new Date(minute * 60_000).toISOString() } })
  const store = {
    jobs: async () => [
      { ...row, end: 'finished' },
      { ...row, end: 'stopped' },
      { ...row, end: null },
    ],
    log: async () => [at(0), at(30), at(400), at(430)],
    bundle: async () => ({
      id: 'van',
      ends: [
        { id: 'finished', because: false },
        { id: 'stopped', because: true },
      ],
    }),
  } as never
  expect(await hoursHere(store, 'van')).toEqual({ minutes: 60, jobs: 1, of: 'here' })
  expect(await hoursHere(store, 'other')).toEqual({ minutes: null, jobs: 0, of: 'here' })
  expect((await hoursOf(store, async () => ({ ok: false }), 'van')).of).toBe('here')
  const told = await hoursOf(store, async () => ({ ok: true, value: { minutes: 210, jobs: 6 } }), 'van')
  expect(hoursWords(told)).toBe('3.5 h, the middle of 6 finished jobs of this workshop')
  expect(hoursWords({ minutes: null, jobs: 0, of: 'here' })).toContain('not known')
})

test('a quote has the parts, the single-use ones apart, and the coolant that is filled', () => {
  const part = (label: string, count: number, single_use: boolean) => ({
    part: label,
    label,
    count,
    single_use,
  })
  const litres = { name: 'litres_in', kind: 'reading', label: 'filled', unit: 'L', target: '6.4' }
  const step = { proof: [{ ...litres, name: 'litres_out', target: '6.0' }, litres] }
  const kit = [part('belt', 1, false), part('bolt', 4, true)]
  expect(quoteOf({ id: 'van', kit, steps: [step] } as never)).toEqual({
    procedure: 'van',
    kit: [{ label: 'belt', count: 1 }],
    singleUse: [{ label: 'bolt', count: 4 }],
    litres: '6.4',
  })
  expect(quoteOf({ id: 'aux', kit: [], steps: [] } as never).litres).toBeNull()
})
