import { describe, expect, it } from 'vitest'
import { newestByCode } from '@client/work/offered'
import { decimalOf, judge, outsideWords, windowWords } from '@client/work/limits'
import { linesOf, placesTitle } from '@client/screens/bay/places'
import { numbersInWords, redoOf } from '@client/work/redo'
import { whereOf } from '@client/screens/bay/address'
import { endsOf } from '@client/work/closing'
import {
  besideTorque,
  marksOf,
  hangingPin,
  nextAfter,
  nextProof,
  isSealedAtTheBoard,
  paintsWith,
  signedWith,
  pinsToPutIn,
  toolsOf,
} from '@client/work/step-tools'
import { jobNow, headRule, needsTaking, type JobNow } from '@client/work/job'
import { jobPlaces } from '@client/work/entry-places'
import { lotRecalled } from '@client/work/recalls'
import { LEAST_DRAWN, roomBeside } from '@client/work/fits'
import { priceOf, refusalOf } from '@client/work/refusal'
import { stopsOf } from '@client/work/stops'
import { clockWords, waited } from '@client/work/waiting'
import { readTag, wrenches } from '@client/work/wrenches'
import { closedFacts } from '@client/work/closed-facts'
import { isAtItsEnd } from '@client/work/ending'
import { readJob, readOn } from '@client/screens/bay/read-job'
import { inOrder, wantWords } from '@client/screens/bay/jobs'
import { plannedIn } from '@client/work/appointments'
import { beginStep } from '@client/work/write'
import type { JobKind } from '@client/ledger/bodies'
import type { BundleRow, Held, Store, Writing } from '@client/store'
import { bundle, Log, ME, MINUTE, row, stepOf, upToTurn } from './baywork'

it('is the same once an act was gone on with and once its log is read', async () => {
  const log = new Log()
  const store = {
    device: { value: ME } as unknown as Store['device'],
    log: async () => [...log.held],
    bundle: async () => bundle,
  }
  const before = await readJob(store, row, [])
  log.done('pin_in')
  const { entry } = log.held.at(-1)!
  const on = readOn(store, before!, [entry], [])
  expect(on.current?.step.id).toBe('slacken')
  const { at: lastAt, device: lastDevice, person: lastPerson } = entry
  const listed = { ...row, entries: 1, lastAt, lastDevice, lastPerson }
  expect(await readJob(store, listed, [])).toBe(on)
  expect(readOn(store, on, [entry], [])).toBe(on) // read already
  log.held.at(-1)!.place = 'workshop'
  expect((await readJob(store, listed, []))?.held.at(-1)?.place).toBe('workshop')
})

describe('where the work stands', () => {
  it('is told alike on from what it was and anew, whatever was written', () => {
    const log = upToTurn()
    const torque = log.torque('99')
    log.add('note.added', { text: { blob: 'n' } })
    log.add('tool.out', { tool: 'key' })
    log.add('step.begun', { step: 'turn' })
    log.add('reading.corrected', { of: torque, value: '26', because: { blob: 'w' } })
    log.add('step.failed', { step: 'turn', failure: 'hard_spot', proof: [] })
    log.add('step.reopened', { step: 'set', because: { blob: 'b' } }, ME, []) // by somebody who had seen nothing
    log.done('set')
    const told = ({ machine: _, folded: __, ...rest }: JobNow) => rest
    let before: JobNow | null = null
    for (let size = 1; size <= log.held.length; size += 1) {
      const held = log.held.slice(0, size)
      before = jobNow(row, bundle, held, ME, [], [], before)
      expect(told(before)).toEqual(told(jobNow(row, bundle, held, ME, [])))
    }
  })
  it('is the first step of a new job', () => {
    expect(new Log().now().current?.step.id).toBe('pin_in')
  })
  it('is the same step again after a kill: it follows from the log', () => {
    const log = new Log()
    log.done('pin_in')
    expect(log.now().current?.step.id).toBe('slacken')
    expect(log.now([{ from: -Infinity, to: log.clock + 900 * MINUTE }]).current?.step.id).toBe('slacken')
  })
  it('is the step this hand has begun, without a look, if there was no break', () => {
    const log = new Log()
    log.add('step.begun', { step: 'pin_in' })
    const now = log.now([{ from: -Infinity, to: log.clock - 5 * MINUTE }])
    expect(now.look).toBeNull()
    expect(now.current?.step.id).toBe('pin_in')
  })
  it('is a look first when the phone was put away for longer than the bundle allows', () => {
    const log = new Log()
    log.add('step.begun', { step: 'pin_in' })
    expect(log.now([{ from: log.clock + MINUTE, to: log.clock + 15 * MINUTE }]).look).toBeNull()
    const away = log.now([{ from: log.clock + MINUTE, to: log.clock + 17 * MINUTE }])
    expect(away.look?.condition).toBe('pin')
    expect(away.current).toBeNull()
  })
  it('is a look first when the phone was dead for longer than that', () => {
    const log = new Log()
    log.add('step.begun', { step: 'pin_in' })
    expect(log.now([{ from: -Infinity, to: log.clock + 16 * MINUTE }]).look?.condition).toBe('pin')
  })
  it('is a look first for another hand, which also has to take the job over', () => {
    const log = new Log()
    log.add('step.begun', { step: 'pin_in' })
    const other = { id: 'phone', person: 'bo' }
    expect(log.now([], other).look?.condition).toBe('pin')
    expect(needsTaking(log.now([], other), other)).toBe(true)
    log.add('job.taken', {}, other)
    expect(needsTaking(log.now([], other), other)).toBe(false)
    log.add('condition.seen', { condition: 'pin', value: 'in' }, other)
    expect(log.now([], other).look).toBeNull()
  })
  it('asks nobody to take over because the owner has asked something', () => {
    const log = new Log()
    log.add('review.returned', { step: 'pin_in', question: { blob: 'q' } }, { id: 'desk', person: 'owner' })
    expect(needsTaking(log.now(), ME)).toBe(false)
    expect(log.now().questions.map(({ step }) => step.step.id)).toEqual(['pin_in'])
  })
  it('asks for one taking over only, though what the former hand wrote is refused and stays at the end', () => {
    const log = new Log()
    log.add('step.begun', { step: 'pin_in' })
    const other = { id: 'phone', person: 'bo' }
    log.add('job.taken', {}, other)
    const now = log.now([], other)
    const refused = now.held
      .slice(0, -1)
      .map((held) => ({ ...held, refused: { code: 'invalid', message: '', hint: '' } }))
    const held = [...now.held.slice(-1), ...refused]
    expect(needsTaking({ ...now, held }, other)).toBe(false)
  })
  it('is at the end when all holds', () => {
    const log = upToTurn()
    log.done('turn')
    const now = log.now()
    expect(now.current).toBeNull()
    expect(now.blocked).toBeNull()
    expect(endsOf(now).find(({ id }) => id === 'finished')?.missing).toEqual([])
    expect(headRule(now)).toEqual({ phases: [['holds', 'holds', 'holds', 'holds', 'holds']], now: null })
  })
})

describe('what a step asks next', () => {
  const ready = () => {
    const log = new Log()
    for (const step of ['pin_in', 'slacken', 'set']) log.done(step)
    return log
  }
  it('is the first proof that is not given', () => {
    const asked = stepOf(ready().now(), 'torque')
    expect(nextProof(asked)?.proof.name).toBe('torque')
    expect(paintsWith(ready().now(), asked, [nextProof(asked)!])).toBe(true)
  })
  it('is nothing when a proof inside its limits was given', () => {
    const log = ready()
    const id = log.torque()
    const asked = stepOf(log.now(), 'torque')
    expect(nextProof(asked)).toBeNull()
    expect(asked.proofs[0]).toMatchObject({ entry: id, said: '26 N·m' })
  })
  it('is the same proof again when it was outside its limits', () => {
    const log = ready()
    log.torque('27.01')
    expect(nextProof(stepOf(log.now(), 'torque'))?.proof.name).toBe('torque')
  })
  it('is the same proof again after the step was undone: an old reading proves no new work', () => {
    const log = ready()
    log.done('torque', [log.torque()])
    log.done('nut_to_hand')
    log.done('set')
    expect(nextProof(stepOf(log.now(), 'torque'))?.proof.name).toBe('torque')
  })
  it('is a tool to take before the work and to hang back after the proofs', () => {
    const log = new Log()
    log.done('pin_in')
    expect(toolsOf(log.now(), stepOf(log.now(), 'slacken'))).toEqual({ slots: ['key'], way: 'out', left: 1 })
    log.add('tool.out', { tool: 'key' })
    expect(toolsOf(log.now(), stepOf(log.now(), 'slacken'))).toBeNull()
    log.done('slacken')
    log.done('set')
    const torque = () => stepOf(log.now(), 'torque')
    expect(toolsOf(log.now(), torque())).toBeNull()
    expect(paintsWith(log.now(), torque(), [torque().proofs[0]!])).toBe(false)
    log.torque()
    expect(toolsOf(log.now(), torque())).toEqual({ slots: ['key'], way: 'in', left: 1 })
    expect(isSealedAtTheBoard(log.now(), torque())).toBe(false)
    log.add('tool.in', { tool: 'key' })
    expect(isSealedAtTheBoard(log.now(), torque())).toBe(true)
  })
  it('signs with its last hold what only a hold says, and names it with what was given', () => {
    const log = ready()
    log.torque()
    const asked = stepOf(log.now(), 'torque')
    const clear = { name: 'clear', kind: 'confirm' as const, label: 'nobody is under the van' }
    const said = { ...asked, step: { ...asked.step, proof: [clear, ...asked.step.proof] } }
    expect(paintsWith(ready().now(), { ...said, proofs: asked.proofs }, [asked.proofs[0]!])).toBe(true)
    expect(signedWith(said)).toEqual([`${asked.proofs[0]!.proof.label}: 26 N·m`, 'nobody is under the van'])
  })
  it('is a choice on its own screen only where it has room beside the words', () => {
    const step = { title: 'Arm pinned', says: ['Arm to its stop and pinned.'], look: [] }
    const rows = (count: number) =>
      Array.from({ length: count }, (_, at) => ({ id: `row${at}`, says: 'it is so', ok: true }))
    const asks = (count: number) => ({
      name: 'belt',
      kind: 'choice' as const,
      label: 'belt',
      options: rows(count),
    })
    expect(roomBeside(step, asks(2), [], 0)).toBeGreaterThan(LEAST_DRAWN)
    expect(roomBeside(step, asks(7), [], 0)).toBeNull()
    expect(roomBeside({ ...step, says: ['x'.repeat(400)] }, asks(2), [], 0)).toBeNull()
    expect(roomBeside({ ...step, look: ['crank'] }, asks(3), [], 0)).toBeNull() // the drive would be too small
    expect(roomBeside(step, { ...asks(2), kind: 'photo' }, [], 0)).toBeNull()
  })
  it('is a short count on its own screen where it has room, and one that is typed, ticked or explained never', () => {
    const step = { title: 'Plugs out', says: ['Three plugs on the sheet.'], look: [] }
    const plugs = { name: 'plugs', kind: 'count' as const, label: 'plugs on the sheet', target: '3' }
    expect(roomBeside(step, plugs, [], 0)).toBeGreaterThan(LEAST_DRAWN)
    expect(roomBeside({ ...step, says: ['x'.repeat(600)] }, plugs, [], 0)).toBeNull()
    expect(roomBeside(step, { ...plugs, target: '140' }, [], 0)).toBeNull()
    expect(roomBeside(step, { ...plugs, of: 'tools' }, [], 0)).toBeNull()
    expect(roomBeside(step, { ...plugs, hint: 'With the belt laid flat.' }, [], 0)).toBeNull()
  })
  it('is a torque with the count of its bolts or a short choice: on one screen, and one hold says both', () => {
    const asked = stepOf(ready().now(), 'torque')
    const [torque] = asked.proofs
    const bolts = (target: string, entry: string | null = null, name = 'bolts') => ({
      proof: { name, kind: 'count' as const, label: 'bolts clicked', target },
      entry,
      said: null,
    })
    const withBolts = (...more: typeof asked.proofs) => ({ ...asked, proofs: [torque!, ...more] })
    const [three, given, many] = [bolts('3'), bolts('3', 'entry'), bolts('12', null, 'others')]
    expect(besideTorque(withBolts(three), torque!)).toBe(three)
    expect(besideTorque(withBolts(three), three)).toBeNull()
    for (const other of [given, many]) expect(besideTorque(withBolts(other), torque!)).toBeNull()
    expect(besideTorque(asked, torque!)).toBeNull()
    const feeler = (rows: number) => ({
      ...three,
      proof: {
        name: 'feeler',
        kind: 'choice' as const,
        label: 'feeler of 0.05 mm',
        options: Array.from({ length: rows }, (_, at) => ({
          id: `row${at}`,
          says: 'it is so',
          ok: at === 0,
        })),
      },
    })
    const short = feeler(2)
    expect(besideTorque(withBolts(short), torque!)).toBe(short)
    expect(besideTorque(withBolts(feeler(3)), torque!)).toBeNull()
    expect(besideTorque(withBolts(short), short)).toBeNull()
    const now = ready().now()
    expect(paintsWith(now, withBolts(three), [torque!])).toBe(false)
    expect(paintsWith(now, withBolts(three), [torque!, three])).toBe(true)
    expect(nextAfter(withBolts(three, many), [torque!, three])).toBe(many)
  })
  it('is a torque whose bolts are marked one by one before what follows it', () => {
    const { step, proofs } = stepOf(ready().now(), 'torque')
    const { proof } = proofs[0]!
    const ordered = (...sequence: string[]) => ({ ...step, torque: { nm: '26', sequence } })
    expect(marksOf(ordered('inlet', 'exhaust'), proof, null, false)?.target).toBe('2')
    expect(marksOf(ordered('inlet', 'exhaust'), proof, null, true)).toBeNull() // its hold says them all
    expect(marksOf(ordered(), proof, null, false)).toBeNull()
    const twice = { ...ordered('plugs', 'cover'), proof: [proof, { ...proof, name: 'cover' }] }
    expect(marksOf(twice, proof, null, false)).toBeNull() // the order is not one torque's
    const bolts = { name: 'bolts', kind: 'count' as const, label: 'bolts clicked', target: '3' }
    expect(marksOf(step, proof, bolts, true)).toBe(bolts)
    expect(marksOf(step, proof, { ...bolts, kind: 'choice' }, false)).toBeNull()
  })
  it('is the board before count and photo, where a step only brings tools back', () => {
    const log = new Log()
    log.add('tool.out', { tool: 'key' })
    for (const step of ['pin_in', 'slacken', 'set']) log.done(step)
    const asked = stepOf(log.now(), 'torque')
    const counted = {
      ...asked.proofs[0]!,
      proof: { name: 'keys', kind: 'count' as const, label: 'keys', target: '1' },
    }
    const away = { ...asked, step: { ...asked.step, proof: [counted.proof] }, proofs: [counted] }
    expect(toolsOf(log.now(), away)).toEqual({ slots: ['key'], way: 'in', left: 1 })
    log.add('tool.in', { tool: 'key' })
    expect(toolsOf(log.now(), away)).toBeNull()
    expect(paintsWith(log.now(), away, [counted])).toBe(true)
  })
})

describe('a pin that is in its hole', () => {
  const withHole = (log: Log) => {
    const now = log.now()
    const wheel = {
      id: 'crank',
      label: 'CRANK',
      x_um: 0,
      y_um: 0,
      r_um: 1,
      inside: true,
      hole: { x_um: 0, y_um: 0, pin: 'key', condition: 'pin' },
    }
    return { ...now, bundle: { ...now.bundle, drive: { ...now.bundle.drive, wheels: [wheel] } } }
  }
  it('is one that the board has no more', () => {
    const log = new Log()
    expect(hangingPin(withHole(log), 'pin', 'in')).toBe('key')
    expect(hangingPin(withHole(log), 'pin', 'out')).toBeNull()
    expect(hangingPin(withHole(log), 'nut', 'in')).toBeNull()
    log.add('tool.out', { tool: 'key' })
    expect(hangingPin(withHole(log), 'pin', 'in')).toBeNull()
  })
  it('goes in before a failure is told that leaves it in', () => {
    const log = new Log()
    const now = withHole(log)
    const pin = now.machine.conditions.findIndex(({ id }) => id === 'pin')
    const leaves = (value: string) => [
      { id: 'stuck', effect: [[pin, now.machine.conditions[pin]!.values.indexOf(value)] as const], look: [] },
    ]
    const failing = (value: string) => ({
      ...now,
      machine: {
        ...now.machine,
        steps: now.machine.steps.map((step) => ({ ...step, fails: leaves(value) })),
      },
    })
    expect(pinsToPutIn(failing('in'), stepOf(now, 'turn'), 'stuck')).toEqual(['key'])
    expect(pinsToPutIn(failing('out'), stepOf(now, 'turn'), 'stuck')).toEqual([])
  })
})

describe('a step that is not open', () => {
  it('says what comes first and why', () => {
    const now = new Log().now()
    expect(refusalOf(now, stepOf(now, 'turn'))).toMatchObject({
      first: { step: { id: 'pin_in' } },
      fact: '5 comes later.',
    })
  })
  it('says how it is and how it must be when a need is unmet', () => {
    const now = new Log().now()
    const refusal = refusalOf(now, stepOf(now, 'nut_to_hand'))
    expect(refusal).toMatchObject({
      first: { step: { id: 'pin_in' } },
      fact: 'Now: the pin is out.',
      because: 'It needs this: the pin is in.',
    })
  })
  it('lets an open one go', () => {
    const now = new Log().now()
    expect(refusalOf(now, stepOf(now, 'pin_in'))).toBeNull()
  })
  it('says that there is nothing to undo', () => {
    const log = new Log()
    log.done('pin_in')
    const now = log.now()
    expect(refusalOf(now, stepOf(now, 'pin_again'))?.first).toBeNull()
  })
  it('names its price before it is done again', () => {
    const log = upToTurn()
    log.done('turn')
    const now = log.now()
    expect(priceOf(now, stepOf(now, 'set')).map(({ step }) => step.number)).toEqual(['3', '5'])
  })
})

describe('a redo', () => {
  it('shows what broke, what comes first and what is signed again', () => {
    const log = upToTurn()
    log.add('step.failed', { step: 'turn', failure: 'pointer_out', proof: [] })
    const now = log.now()
    const redo = redoOf(now)
    expect(redo.title).toBe('The pointer is off the notch.')
    expect(redo.broken).toEqual(expect.arrayContaining(['3']))
    expect(redo.nowNumber).toBe('5')
    expect(redo.ways[0]?.title).toMatch(/^1 Do pin_in/)
    expect(redo.stay).toMatch(/^Then sign .*3 to 5 again/)
    expect(headRule(now).phases[0]).toContain('broken')
  })
  it('shows all acts at once in their order, and rule and sentence name the same steps', () => {
    const log = upToTurn()
    log.add('step.failed', { step: 'turn', failure: 'pointer_out', proof: [] })
    const redo = redoOf(log.now())
    expect(redo.ways.map(({ title }) => title)).toEqual(
      log
        .now()
        .plan.map((item) =>
          item.kind === 'step' ? `${item.step.step.number} ${item.step.step.title}`.trim() : item.label,
        ),
    )
    const listed = redo.ways.flatMap(({ title }) => title.match(/^\d+/) ?? [])
    const marked = redo.rule.filter(({ state, number }) => state === 'broken' || number === redo.nowNumber)
    expect(new Set(marked.map(({ number }) => number))).toEqual(new Set(listed))
    expect(redo.stay).toContain(numbersInWords(listed))
  })
  it('leaves out of a long rule what holds between broken seals, and says where', () => {
    const now = upToTurn().now()
    const steps = Array.from({ length: 40 }, (_, index) => ({
      ...now.steps[0]!,
      index,
      step: { ...now.steps[0]!.step, number: String(index + 1) },
      seal:
        index === 13 || index === 28
          ? ('broken' as const)
          : index < 29
            ? ('holds' as const)
            : ('todo' as const),
    }))
    const { rule } = redoOf({ ...now, steps, plan: [], lastFailure: null, ending: null })
    expect(rule.map(({ number }) => number)).toEqual(['13', '14', '15', '28', '29', '30'])
    expect(rule.filter(({ afterGap }) => afterGap).map(({ number }) => number)).toEqual(['28'])
  })
  it('says what single-use parts are needed new', () => {
    const log = upToTurn()
    log.add('step.failed', { step: 'turn', failure: 'pointer_out', proof: [] })
    const now = log.now()
    expect(redoOf(now).parts).toBe('')
    const [first] = now.plan
    if (first?.kind !== 'step') throw new Error('no step comes first')
    const again = { ...first, parts: [{ part: 'belt', count: 1 }] }
    expect(redoOf({ ...now, plan: [again, again] }).parts).toBe(
      'New again, never the old ones: timing belt (2).',
    )
  })
  it('begins with a look where the failure leaves it open', () => {
    const log = upToTurn()
    log.add('step.failed', { step: 'turn', failure: 'hard_spot', proof: [] })
    expect(log.now().look?.condition).toBe('pin')
    expect(redoOf(log.now()).ways[0]?.title).toBe('Look at pin')
  })
  it('runs numbers together', () => {
    expect(numbersInWords(['22', '26', '27', '28', '32'])).toBe('22, 26 to 28 and 32')
    expect(numbersInWords(['26', '27'])).toBe('26 and 27')
    expect(numbersInWords(['9'])).toBe('9')
  })
})

describe('ends', () => {
  it('say what is in the way of each', () => {
    const log = new Log()
    log.add('tool.out', { tool: 'key' })
    const [finished, recovered] = endsOf(log.now())
    expect(finished?.missing.map(({ words }) => words)).toContain('Still in the engine bay: hex key')
    expect(finished?.missing[0]?.words).toBe('1 Do pin_in')
    expect(recovered).toMatchObject({ because: true })
  })
})

describe('a verdict that nothing takes back', () => {
  /** Once the turn has failed hard `finished` cannot be reached, `recovered` can. */
  const machine = structuredClone(bundle.machine) as unknown as {
    steps: { id: string; fails: { id: string; effect: number[][]; look: number[] }[]; guard: number[][] }[]
    conditions: { id: string; proof: boolean; values: string[]; start: number }[]
    ends: { conditions: number[][] }[]
  }
  machine.conditions.push({ id: 'verdict', proof: false, values: ['open', 'recover'], start: 0 })
  const verdict = machine.conditions.length - 1
  const turn = machine.steps.find(({ id }) => id === 'turn')!
  turn.guard.push([verdict, 1])
  turn.fails[1] = { id: 'hard_spot', effect: [...turn.fails[0]!.effect, [verdict, 1]], look: [] }
  machine.ends[1]!.conditions = [[verdict, 2]]
  const steps = machine.steps.map((step) => ({
    ...step,
    rules: step.id === 'turn' ? [{ rule: 0, guard: [[verdict, 1]] }] : [],
  }))
  const label = {
    id: 'verdict',
    kind: 'engine' as const,
    label: 'verdict',
    values: [
      { id: 'open', says: 'work goes on' },
      { id: 'recover', says: 'it is recovered' },
    ],
    start: 'open',
  }
  const sick = {
    ...bundle,
    conditions: [...bundle.conditions, label],
    machine: { ...machine, steps } as unknown as typeof bundle.machine,
  }
  const red = () => {
    const log = upToTurn()
    log.add('step.failed', { step: 'turn', failure: 'hard_spot', proof: [] })
    return log
  }
  const now = (log: Log) => jobNow(row, sick, log.held, ME, [])
  it('leads to the end that is open, and says what stays forbidden', () => {
    const job = now(red())
    expect(job).toMatchObject({
      blocked: null,
      current: null,
      ending: { id: 'recovered', name: 'Recovered' },
    })
    expect(job.ending?.never).toEqual([{ words: 'turn with the nut loose', because: 'the belt jumps' }])
    expect(
      endsOf(job)
        .filter(({ missing }) => missing.length === 0)
        .map(({ id }) => id),
    ).toEqual(['recovered'])
    expect(isAtItsEnd(job)).toBe(true)
  })
  it('tells the driver of the parts that are in, and of none that was replaced', () => {
    const log = new Log()
    for (const lot of ['NH-1', 'NH-2'])
      log.add('part.fitted', { step: 'pin_in', name: 'lot', part: 'belt', lot })
    expect(Object.fromEntries(closedFacts(log.now(), 'w', 'finished'))).toMatchObject({
      lots: 'timing belt NH-2',
    })
  })
  it('is no more a job whose steps are all done, and tells nobody when the next change is due', () => {
    const job = now(red())
    expect(wantWords({ row, now: job, plan: null, plate: null })).toBe('to be ended: Recovered')
    expect(Object.fromEntries(closedFacts(job, 'w', 'recovered'))).toMatchObject({ steps: '2 of 5 hold' })
    expect(Object.fromEntries(closedFacts(job, 'w', 'recovered'))).not.toHaveProperty('next due')
    expect(Object.fromEntries(closedFacts(job, 'w', 'finished'))).toHaveProperty('next due')
  })
  it('is nothing that the same job knows before', () => {
    expect(now(upToTurn())).toMatchObject({ ending: null, current: { step: { id: 'turn' } } })
  })
})

describe('house rules', () => {
  const withRules = (kinds: ('stop' | 'ask')[]) => {
    const steps = bundle.machine.steps.map((step) =>
      step.id === 'pin_in' ? { ...step, rules: kinds.map((_, rule) => ({ rule, guard: [[1, 2]] })) } : step,
    )
    const rules = kinds.map((kind, at) => ({
      id: `rule_${at}`,
      kind,
      never: `do ${at}`,
      because: `reason ${at}`,
    }))
    return { ...bundle, rules, machine: { ...bundle.machine, steps } as unknown as typeof bundle.machine }
  }
  const refused = (kinds: ('stop' | 'ask')[]) => {
    const now = jobNow(row, withRules(kinds), new Log().held, ME, [])
    return refusalOf(now, stepOf(now, 'pin_in'))
  }
  it('that ask can all be passed by at once', () => {
    expect(refused(['ask', 'ask'])).toMatchObject({ ask: ['rule_0', 'rule_1'], because: 'Reason 0' })
  })
  it('that stop are told first, and nothing passes them', () => {
    expect(refused(['ask', 'stop'])).toMatchObject({ ask: [], because: 'Reason 1' })
    expect(refused(['stop', 'ask'])).toMatchObject({ ask: [], because: 'Reason 0' })
  })
})

describe('two phones that do not agree', () => {
  const beside = () => {
    const log = new Log()
    log.done('pin_in')
    const last = log.held.at(-1)!.entry.id
    log.done('slacken')
    log.add('condition.seen', { condition: 'nut', value: 'tight' }, { id: 'other', person: 'bo' }, [last])
    return log
  }
  it('are told what to look at and what it may be, the likely values first', () => {
    const { look } = beside().now()
    expect(look).toMatchObject({ condition: 'nut', label: 'Look at nut' })
    expect(look?.because).toBe(
      'The phones on this job do not agree. It may be that the nut is tight, or the nut is loose. What is seen now counts.',
    )
    expect(look?.values.map(({ id }) => id)).toEqual(['tight', 'loose', 'hand'])
  })
  it('agree once one has looked', () => {
    const log = beside()
    const [a, b] = log.held.slice(-2).map(({ entry }) => entry.id)
    log.add('condition.seen', { condition: 'nut', value: 'loose' }, ME, [a!, b!])
    expect(log.now().look).toBeNull()
  })
  it('are told otherwise when a step was left half-way, or broke off', () => {
    const log = new Log()
    log.add('step.begun', { step: 'pin_in' })
    expect(log.now([], { id: 'phone', person: 'bo' }).look?.because).toContain(
      'Step 1 was begun and not ended.',
    )
    const failed = upToTurn()
    failed.add('step.failed', { step: 'turn', failure: 'hard_spot', proof: [] })
    expect(failed.now().look?.because).toContain('Step 5 broke off, and nobody has looked since.')
  })
})

describe("the workshop's statements", () => {
  const said = (kind: string, body: object, n: number) =>
    ({ entry: { id: `${n}`.repeat(64), kind, body }, standing: 'good' }) as unknown as Held
  const recall = said('lot.recalled', { lot: 'NH-1', because: 'Teeth part.' }, 1)
  const fit = (log: Log, lot: string) =>
    log.add('part.fitted', { step: 'pin_in', name: 'lot', part: 'belt', lot })
  const stops = (log: Log, ...statements: Held[]) => stopsOf(log.now([], ME, statements))
  it('stop a job in which the lot was fitted, until it is seen', () => {
    const log = new Log()
    expect(stops(log, recall)).toEqual([])
    fit(log, 'nh-1')
    const [stop] = stops(log, recall)
    expect(stop).toMatchObject({ fact: 'Lot NH-1 is recalled', because: 'Teeth part.' })
    expect(stop?.hint).toContain('Timing belt (1)')
    log.add('note.added', { name: stop!.name, text: { blob: 'n' } })
    expect(stops(log, recall)).toEqual([])
  })
  it('stop every job of a bundle that was withdrawn', () => {
    expect(
      stops(new Log(), said('bundle.withdrawn', { bundle: row.bundle, because: 'Wrong torque.' }, 2)),
    ).toHaveLength(1)
  })
  it('stop nothing any more when another is fitted', () => {
    const log = new Log()
    fit(log, 'NH-1')
    fit(log, 'NH-2')
    expect(stops(log, recall)).toEqual([])
  })

  const finished = (log: Log) =>
    endsOf(log.now([], ME, [recall]))
      .find(({ id }) => id === 'finished')!
      .missing.map(({ words }) => words)
  const whole = () => {
    const log = upToTurn()
    log.done('turn')
    return log
  }
  it('keep the job from its good end until the part is replaced', () => {
    const log = whole()
    expect(finished(log)).toEqual([])
    fit(log, 'NH-1')
    expect(finished(log)).toEqual(['Lot NH-1 is recalled: timing belt (1)'])
    expect(
      endsOf(log.now([], ME, [recall]))
        .find(({ id }) => id === 'recovered')!
        .missing.map(({ words }) => words)
        .join(),
    ).not.toContain('recalled')
    expect(wantWords({ row, now: log.now([], ME, [recall]), plan: null, plate: null })).toBe(
      'lot NH-1 is recalled: call the owner',
    )
    fit(log, 'NH-2')
    expect(finished(log)).toEqual([])
  })
  it('let it go when the owner takes the part over, and not the next one of that lot', () => {
    const log = whole()
    const part = fit(log, 'NH-1')
    const borne = { recall: recall.entry.id, parts: [part], because: { blob: 'w' } }
    log.add('recall.borne', borne, { id: 'desk', person: 'ola' })
    expect(finished(log)).toEqual([])
    expect(needsTaking(log.now(), ME)).toBe(false)
    fit(log, 'nh 1')
    expect(finished(log)).toEqual(['Lot NH-1 is recalled: timing belt (1)'])
  })
  it('refuse a recalled lot before it is fitted', () => {
    expect(lotRecalled([recall], 'nh-1')).toBe('Teeth part.')
    expect(lotRecalled([recall], 'NH-2')).toBeNull()
  })
})

describe('wrenches', () => {
  const statements = [
    {
      kind: 'tool.registered',
      body: { tool: 'TW-1', type: 'torque_wrench', label: 'small', low: '5', high: '50', unit: 'N·m' },
    },
    {
      kind: 'tool.registered',
      body: { tool: 'TW-2', type: 'torque_wrench', label: 'large', low: '10', high: '100', unit: 'N·m' },
    },
    { kind: 'tool.registered', body: { tool: 'CA-1', type: 'caliper', label: 'caliper' } },
    { kind: 'tool.calibrated', body: { tool: 'TW-1', on: '2025-10-01', due: '2026-10-01' } },
    { kind: 'tool.calibrated', body: { tool: 'TW-2', on: '2026-08-12', due: '2027-02-12' } },
    { kind: 'tool.calibrated', body: { tool: 'TW-2', on: '2025-08-12', due: '2026-02-12' } },
  ]
  const of = (value: string) =>
    wrenches(statements, 'torque_wrench', value, '2026-11-24').map(({ tool, fit, because }) => [
      tool,
      fit,
      because,
    ])
  it('go by range and by the newest calibration, the fit ones first', () => {
    expect(of('26')).toEqual([
      ['TW-2', true, null],
      ['TW-1', false, 'Its calibration ended on 2026-10-01.'],
    ])
    expect(of('135')[0]).toEqual(['TW-1', false, '135 N·m is above its range, 5 to 50 N·m.'])
    expect(of('135')[1]).toEqual(['TW-2', false, '135 N·m is above its range, 10 to 100 N·m.'])
  })
  it('are good on the day they are due, and never without a calibration', () => {
    expect(wrenches(statements, 'torque_wrench', '26', '2027-02-12')[0]?.fit).toBe(true)
    expect(wrenches(statements, 'torque_wrench', '26', '2027-02-13').some(({ fit }) => fit)).toBe(false)
    expect(wrenches(statements, 'caliper', null, '2026-11-24')[0]?.because).toBe(
      'No calibration of it is known.',
    )
  })
  const tag = (read: string, type: string | null = 'torque_wrench') =>
    readTag(statements, type, read, '2026-11-24')
  it('are known by their tag, whole and in date', () => {
    expect(tag('')).toEqual({ is: 'none' })
    expect(tag('tw-')).toEqual({ is: 'part' })
    expect(tag('tw-2')).toEqual({ is: 'fit', tool: 'TW-2', says: 'large, good to 12 Feb 2027' })
  })
  it('are refused when the workshop does not know them, when out of calibration, and when something else is asked for', () => {
    expect(tag('TW-9')).toMatchObject({
      is: 'refused',
      trouble: { code: 'unknown-tool', message: 'No tool of this workshop has the tag TW-9.' },
    })
    expect(tag('TW-1')).toMatchObject({
      is: 'refused',
      trouble: { code: 'wrench-due', message: 'TW-1: Its calibration ended on 2026-10-01.' },
    })
    expect(tag('CA-1')).toMatchObject({ is: 'refused', trouble: { code: 'other-tool' } })
    expect(tag('CA-1', null)).toMatchObject({ is: 'refused', trouble: { code: 'wrench-uncalibrated' } })
  })
})

describe('figures', () => {
  it('are decimals of the contract only when they are whole', () => {
    expect(['041.5', '5.', '', '-', '-0', '26,5', '0.30', '1e3'].map(decimalOf)).toEqual([
      '41.5',
      null,
      null,
      null,
      null,
      '26.5',
      '0.30',
      null,
    ])
  })
  it('are judged exactly, the limits belong to the window', () => {
    const window = { low: '41.2', high: '41.8', unit: 'mm' }
    expect(['41.19', '41.2', '41.80', '41.81'].map((value) => judge(value, window))).toEqual([
      'below',
      'inside',
      'inside',
      'above',
    ])
    expect(outsideWords('42', window)).toBe('42 mm is above 41.8')
    expect(windowWords({ high: '40', unit: '°C' })).toBe('at most 40 °C')
    expect(windowWords({ low: '-2', high: '2', unit: '°' })).toBe('-2 to 2°')
  })
})

describe('a wait', () => {
  const begun = '2026-11-24T08:00:00.000Z'
  it('counts from the entry, through a kill', () => {
    const at = Date.parse(begun)
    expect(waited(begun, at + 9 * MINUTE + 1, '10')).toMatchObject({ minutes: 9, over: false })
    expect(waited(begun, at + 10 * MINUTE, '10')).toEqual({ minutes: 10, leftMs: 0, over: true })
    expect(clockWords(waited(begun, at + 55_000, '10').leftMs)).toBe('9:05')
  })
  it('is begun by its own key, also in a step that moves nothing', async () => {
    const { machine } = bundle
    const steps = machine.steps.map((each) => (each.id === 'pin_in' ? { ...each, on_the_way: [] } : each))
    const still = { ...bundle, machine: { ...machine, steps } }
    const log = new Log()
    const store = {
      write: async (_: string, build: (writing: Writing) => Promise<void>) => {
        await build({
          entry: async (kind: JobKind, body: never) => log.add(kind, body),
        } as unknown as Writing)
        return []
      },
    } as unknown as Store
    const now = () => stepOf(jobNow(row, still, log.held, ME, []), 'pin_in')
    expect(now()).toMatchObject({ moves: false, begunAt: null })
    await beginStep(store, 'job', now())
    expect(now()).toMatchObject({ begunAt: log.held.at(-1)?.entry.at, begunHere: true, seal: 'todo' })
    log.done('pin_in')
    expect(now()).toMatchObject({ begunAt: null, seal: 'holds' })
  })
  it('has not begun for a clock that was set back, or for a nonsense time', () => {
    expect(waited(begun, Date.parse(begun) - MINUTE, '10').leftMs).toBe(10 * MINUTE)
    expect(waited('2026-13-99T99:99:99.999Z', Date.now(), '10').over).toBe(false)
  })
})

describe('places', () => {
  it('are counted from the entries, and never drawn as none when there is one', () => {
    const held = [
      ...upToTurn().held.map(
        (each, i): Held => ({ ...each, place: i === 0 ? 'backup' : i < 3 ? 'workshop' : 'phone' }),
      ),
    ]
    expect(jobPlaces(held)).toEqual({ phone: 3, workshop: 2, backup: 1 })
    expect(linesOf({ phone: 1, workshop: 0, backup: 500 })[0]).toBe(1)
    expect(linesOf({ phone: 0, workshop: 0, backup: 500 })[0]).toBe(0)
  })
  it('are said for the least safe one', () => {
    expect(placesTitle({ phone: 1, workshop: 4, photosWaiting: 0 })).toBe('1 is only on this phone')
    expect(placesTitle({ phone: 0, workshop: 4, photosWaiting: 0 })).toBe('All are in the workshop')
    expect(placesTitle({ phone: 0, workshop: 0, photosWaiting: 0 })).toBe('All are backed up')
    expect(placesTitle({ phone: 0, workshop: 0, photosWaiting: 2 })).not.toMatch(/workshop|backed up/)
  })
})

describe('opening', () => {
  const bundleRow = (id: string, edition: number, codes: string[], offered = true): BundleRow => ({
    bundle: `${id}${edition}`,
    id,
    name: id,
    edition,
    engineCodes: codes,
    offered,
    because: null,
  })
  it('offers each engine code by the newest edition that may be used', () => {
    const rows = [bundleRow('a', 1, ['X']), bundleRow('a', 2, ['X', 'W']), bundleRow('b', 3, ['Y'], false)]
    expect(newestByCode(rows).map(({ code, bundle }) => [code, bundle.edition])).toEqual([
      ['W', 2],
      ['X', 2],
    ])
  })
  it('puts a job with a question before newer ones', () => {
    const asked = new Log()
    asked.add('review.returned', { step: 'pin_in', question: { blob: 'q' } }, { id: 'desk', person: 'owner' })
    const line = (job: string, lastAt: string, now = new Log().now()) => ({
      row: { ...row, job, lastAt },
      now,
      plan: plannedIn(now.held),
      plate: null,
    })
    expect(
      inOrder([line('new', '3'), line('asked', '1', asked.now()), line('old', '2')]).map(
        (each) => each.row.job,
      ),
    ).toEqual(['asked', 'new', 'old'])
    const planned = (body: object) => {
      const log = new Log()
      log.add('job.planned', body)
      return log.now()
    }
    const parked = new Log()
    parked.add('job.parked', { why: 'part' })
    const today = [
      line('last', '9'),
      line('parked', '8', parked.now()),
      line('later', '1', planned({ promised: '2026-11-24T15:00:00.000Z' })),
      line('sooner', '1', planned({ person: ME.person, promised: '2026-11-24T09:00:00.000Z' })),
      line('anothers', '7', planned({ person: 'ben', promised: '2026-11-24T08:00:00.000Z' })),
    ]
    expect(inOrder(today, ME.person).map((each) => each.row.job)).toEqual([
      'sooner',
      'later',
      'last',
      'parked',
      'anothers',
    ])
  })
})

describe('the address', () => {
  it('names the job and its screen, and anything else is the list of jobs', () => {
    expect(whereOf('#/bay/job/J/step/s/give/p')).toEqual({
      at: 'job',
      job: 'J',
      screen: 'step',
      parts: ['s', 'give', 'p'],
    })
    expect(whereOf('#/bay/places')).toEqual({ at: 'places' })
    expect(whereOf('')).toEqual({ at: 'jobs' })
    expect(whereOf('#/bay/nonsense')).toEqual({ at: 'jobs' })
  })
})
