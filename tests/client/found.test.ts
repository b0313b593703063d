/** Findings as they stand on the phone: what is offered, what keeps a job from its end, what goes home as advice. */
import { describe, expect, it } from 'vitest'
import { plannedIn } from '@client/work/appointments'
import { parkedWords, promisedWords } from '@client/work/appointment-words'
import { endsOf } from '@client/work/closing'
import { foundSentences } from '@client/work/found-sentences'
import { checkExtra, checkFinding, checkPlan, checkSettled } from '@client/screens/desk/found-drafts'
import { agreedSince, isDoneSince, WORD_SINCE } from '@client/work/agreed-since'
import { AgreedFirst } from '@client/screens/bay/found/agreed-first'
import { asFigure } from '@client/screens/bay/found/extra-work'
import { advicesIn, agreedOpen, foundIn, undecidedIn } from '@client/work/found'
import { stateWords } from '@client/work/found-words'
import { needsTaking } from '@client/work/job'
import { localTime, promiseOf } from '@client/work/promise'
import { writeParked } from '@client/work/write-found'
import type { Writing } from '@client/store'
import { bundle, Log, ME, upToTurn } from './baywork'

const ref = { blob: 'b'.repeat(64) }

function noted(log = new Log()): { log: Log; finding: string } {
  return { log, finding: log.add('finding.noted', { step: 'pin_in', words: ref }) }
}

const said = (log: Log, finding: string, answer: 'yes' | 'no', extras: string[] = []) =>
  log.add('finding.answered', { finding, answer, how: 'call', extras })

/** The bundle, with a driver who signs at its last step. */
const handOver = bundle.steps.filter(({ undo }) => !undo).at(-1)!.id
const signing = {
  steps: bundle.steps.map((step) =>
    step.id === handOver
      ? {
          ...step,
          proof: [...step.proof, { name: 'driver', kind: 'signature' as const, label: 'The driver' }],
        }
      : step,
  ),
}

describe('the signature of the driver', () => {
  const since = (log: Log) =>
    agreedSince({ held: log.held, bundle: signing })?.found.map(({ entry }) => entry) ?? []
  const sign = (log: Log, name = 'driver', after?: string[]) =>
    log.add('note.added', { step: handOver, name, text: ref }, ME, after)

  it('covers what was agreed before it, and no later yes, until there is a word on that', () => {
    const { log, finding } = noted(upToTurn())
    said(log, finding, 'yes')
    expect(since(log)).toEqual([]) // they sign yet
    sign(log)
    expect(since(log)).toEqual([])
    const later = log.add('finding.noted', { step: 'pin_in', words: ref })
    said(log, later, 'yes')
    expect(isDoneSince({ held: log.held, bundle: signing })).toBe(false)
    log.add('finding.settled', { finding: later, how: 'done' })
    expect(isDoneSince({ held: log.held, bundle: signing })).toBe(true)
    expect(since(log)).toEqual([later])
    sign(log)
    expect(since(log)).toEqual([])
  })
  it('covers nothing that it had not seen, whenever that came in', () => {
    const { log, finding } = noted(upToTurn())
    const seen = log.held.at(-1)!.entry.id
    const yes = said(log, finding, 'yes')
    const signed = sign(log, 'driver', [seen])
    expect(since(log)).toEqual([finding])
    sign(log, WORD_SINCE, [yes, signed])
    expect(since(log)).toEqual([])
  })
  it('needs no word on what was refused since, or turned out to be none', () => {
    const log = upToTurn()
    sign(log)
    const refused = log.add('finding.noted', { step: 'pin_in', words: ref })
    said(log, refused, 'no')
    const none = log.add('finding.noted', { step: 'pin_in', words: ref })
    said(log, none, 'yes')
    log.add('finding.settled', { finding: none, how: 'dropped' })
    expect(since(log)).toEqual([])
  })
})

describe('a finding', () => {
  it('keeps a job from the end of all steps from the yes of the customer until it is settled', () => {
    const { log, finding } = noted(upToTurn())
    log.done('turn')
    const missing = () => endsOf(log.now()).map(({ id, missing }) => [id, missing.map(({ short }) => short)])
    const before = missing()
    said(log, finding, 'yes')
    const finish = missing().filter(([, shorts]) => shorts!.includes('the customer said yes to more work'))
    expect(finish.length).toBeGreaterThan(0)
    log.add('finding.settled', { finding, how: 'done' })
    expect(missing()).toEqual(before)
  })
  it('comes before the signature of the driver from the yes until it is settled, or is a no', () => {
    const { log, finding } = noted(upToTurn())
    const asksToSign = () => {
      const toStep = () => undefined
      const { props } = AgreedFirst({ now: log.now(), act: {}, toStep, sign: 'the sheet' } as never)
      return (props as { children?: unknown }).children === 'the sheet'
    }
    expect(asksToSign()).toBe(true)
    said(log, finding, 'yes')
    expect(asksToSign()).toBe(false)
    said(log, finding, 'no')
    expect(asksToSign()).toBe(true)
    said(log, finding, 'yes')
    log.add('finding.settled', { finding, how: 'done' })
    expect(asksToSign()).toBe(true)
  })
  it('changes nothing of the machine', () => {
    const log = upToTurn()
    const { state, current } = log.now()
    const { finding } = noted(log)
    said(log, finding, 'yes')
    const now = log.now()
    expect([now.state.conditions, now.state.steps]).toEqual([state.conditions, state.steps])
    expect(now.current?.step.id).toBe(current?.step.id)
  })
  it('is told with how far its extras are, and is advice while nobody or a no answers', () => {
    const { log, finding } = noted()
    const here = () => foundIn(log.held, bundle)
    expect(here().found.map(stateWords)).toEqual(['The customer is to be asked.'])
    expect([advicesIn(here()).length, undecidedIn(here()).length]).toEqual([1, 1])
    const extra = log.add('extra.added', { finding, what: ref, part: '4.2', minutes: 30 })
    said(log, finding, 'yes', [extra])
    expect(here().found.map(stateWords)).toEqual(['The customer says yes, by call: 1 extra to do.'])
    expect([advicesIn(here()).length, agreedOpen(here()).length]).toEqual([0, 1])
    expect(undecidedIn(here())).toEqual([])
    log.add('extra.done', { extra, value: '9.5', unit: 'mm' })
    expect(here().found[0]?.extras[0]).toMatchObject({ state: 'done', part: '4.2', minutes: 30 })
    said(log, finding, 'no')
    expect(here().found.map(stateWords)).toEqual(['The customer says no, by call.'])
    expect(advicesIn(here())).toHaveLength(1)
  })
})

describe('what must be looked at', () => {
  const facts = (log: Log) =>
    foundSentences({ held: log.held, bundle }).map(({ fact, because }) => `${fact}. ${because}`)
  it('names a finding until it is put right, also one that was refused', () => {
    const { log, finding } = noted()
    const [{ number } = { number: '' }] = bundle.steps.filter(({ id }) => id === 'pin_in')
    expect(facts(log)).toEqual([`Found at ${number}. The customer is to be asked.`])
    said(log, finding, 'no')
    expect(facts(log)).toEqual([`Found at ${number}. The customer says no, by call.`])
    log.add('finding.settled', { finding, how: 'dropped' })
    expect(facts(log)).toEqual([])
  })
  it('names what the procedure calls a finding and nobody has noted', () => {
    const log = new Log()
    const options = [{ id: 'oil', says: 'oil at the seal', ok: true, finding: true }]
    const steps = bundle.steps.map((step) =>
      step.id === 'pin_in'
        ? { ...step, proof: [{ name: 'traces', kind: 'choice' as const, label: 'traces', options }] }
        : step,
    )
    const offers = () =>
      foundSentences({ held: log.held, bundle: { ...bundle, steps } }).map(({ because }) => because)
    const at = { step: 'pin_in', name: 'traces', value: 'oil' }
    log.add('reading.taken', { ...at, unit: '' })
    expect(offers()).toEqual(['It was seen, and nobody has noted what becomes of it.'])
    log.add('finding.noted', { ...at, words: ref })
    expect(offers()).toEqual(['The customer is to be asked.'])
  })
})

describe('what is typed', () => {
  it('is a figure with its unit, or none', () => {
    expect(asFigure(' 9,5 mm ')).toEqual({ value: '9.5', unit: 'mm' })
    expect(asFigure('12')).toEqual({ value: '12', unit: '' })
    expect(asFigure('tight')).toBeNull()
  })
  it('is told what is wrong with it at the desk, and kept where nothing is', () => {
    expect(checkExtra({ what: ' ', part: '', minutes: 'an hour' })).toMatchObject({
      ok: false,
      faults: { what: expect.any(String), minutes: expect.any(String) },
    })
    expect(checkExtra({ what: 'a seal', part: '4.2', minutes: '40' })).toEqual({
      ok: true,
      body: { what: 'a seal', part: '4.2', minutes: 40 },
    })
    expect(checkSettled({ how: 'done', words: '' }).ok).toBe(false)
    expect(checkFinding({ at: 'covers_off', words: ' ' }).ok).toBe(false)
    expect(checkFinding({ at: 'covers_off', words: ' oil ' })).toEqual({ ok: true, body: 'oil' })
    const now = Date.parse('2026-11-24T12:00:00.000Z')
    expect(checkPlan({ person: 'ann', promised: '2020-01-01T10:00' }, now)).toMatchObject({ ok: false })
    expect(checkPlan({ person: '', promised: '' }, now)).toMatchObject({ ok: false })
    expect(checkPlan({ person: 'ann', promised: '' }, now)).toEqual({
      ok: true,
      body: { person: 'ann', promised: null },
    })
  })
})

describe('an appointment', () => {
  it('says who, when and why it rests', () => {
    const log = new Log()
    log.add('job.planned', { person: 'ann', promised: '2026-11-24T15:00:00.000Z' })
    log.add('job.parked', { why: 'part', part: 'seal 4.2' })
    const { person, promised, parked, beside } = plannedIn(log.held)
    expect([person, promised, beside]).toEqual(['ann', '2026-11-24T15:00:00.000Z', []])
    expect(parked && parkedWords(parked)).toBe('parked: a part is missing (seal 4.2)')
    log.add('job.resumed', {})
    expect(plannedIn(log.held).parked).toBeNull()
  })
  it('of another desk takes no job out of a hand', () => {
    const log = upToTurn()
    log.add('job.planned', { person: 'ann' }, { id: 'desk', person: 'owner' })
    log.add('finding.noted', { step: 'pin_in', words: ref }, { id: 'other', person: 'ben' })
    expect(needsTaking(log.now(), ME)).toBe(false)
  })
  it('is told by the clock on the wall, and a time that is past as past', () => {
    const now = new Date(2026, 10, 24, 12, 0).getTime()
    const at = (hour: number, day = 24) => new Date(2026, 10, day, hour, 30).toISOString()
    expect(promisedWords(at(15), now)).toBe('promised for 15:30 today')
    expect(promisedWords(at(9), now)).toBe('promised for 09:30 today, which is past')
    expect(promisedWords(at(9, 25), now)).toBe('promised for 25 Nov 2026, 09:30')
    expect(promisedWords('whenever', now)).toBe('promised for whenever')
  })
  it('cannot be promised for what is past', () => {
    const now = new Date(2026, 10, 24, 12, 0).getTime()
    expect(promiseOf('2026-11-24T11:59', now).isPast).toBe(true)
    expect(promiseOf('', now)).toEqual({ at: null, isPast: false })
    const { at, isPast } = promiseOf('2026-11-24T12:30', now)
    expect([isPast, at && localTime(at)]).toEqual([false, '2026-11-24T12:30'])
  })
})

describe('a job that is parked', () => {
  async function parked(why: string, part: string, words: string) {
    const bodies: unknown[] = []
    const writing = {
      secret: async (_: string, text: string) => ({ blob: text }),
      entry: async (_: string, body: unknown) => void bodies.push(body),
    }
    await writeParked(writing as unknown as Writing, why, part, words)
    return bodies
  }

  it('names a part only where a part is why, in clear and no longer than it may be', async () => {
    expect(await parked('part', ' seal ', '')).toEqual([{ why: 'part', part: 'seal' }])
    expect(await parked('part', 'x'.repeat(65), '')).toEqual([{ why: 'part', part: 'x'.repeat(64) }])
    expect(await parked('part', '  ', '')).toEqual([{ why: 'part' }])
    expect(await parked('customer', 'seal', '')).toEqual([{ why: 'customer' }])
  })
  it('says the words as a private value, and none where there are none', async () => {
    expect(await parked('other', '', 'Key is gone.')).toEqual([
      { why: 'other', words: { blob: 'Key is gone.' } },
    ])
  })
})
