/** A small bundle with its words, over the machine of the fold's vectors, and a log that grows act by act. */
import vectors from '../vectors/fold.json'
import type { Body, JobKind } from '@client/ledger/bodies'
import type { Bundle, Step } from '@client/procedure/bundle'
import { jobNow, type JobNow, type Gap } from '@client/work/job'
import type { Held, JobRow } from '@client/store'

export const MINUTE = 60_000
export const START = Date.parse('2026-11-24T08:00:00.000Z')
export const ME = { id: 'phone', person: 'ada' }

const machine = vectors.bundle.machine as unknown as Bundle['machine']

const WORDS: Record<string, Partial<Step> & { number: string }> = {
  pin_in: { number: '1' },
  slacken: { number: '2', tools_out: ['key'] },
  set: { number: '3', because: 'A slack belt jumps.' },
  torque: {
    number: '4',
    torque: { nm: '26', sequence: [] },
    proof: [
      {
        name: 'torque',
        kind: 'reading',
        label: 'nut',
        unit: 'N·m',
        low: '25',
        high: '27',
        tool: 'torque_wrench',
      },
    ],
    tools_in: ['key'],
  },
  turn: {
    number: '5',
    fails: [
      { id: 'pointer_out', says: 'The pointer is off the notch.', then: 'Pin in, nut to hand.' },
      { id: 'hard_spot', says: 'There is a hard spot.', then: 'Stop.' },
    ],
  },
  pin_again: { number: '' },
  nut_to_hand: { number: '' },
}

const step = ({ id, undo, must }: Bundle['machine']['steps'][number]): Step => ({
  id,
  phase: 'drive',
  title: `Do ${id}`,
  act: `Done ${id}`,
  says: [`Do ${id}.`],
  look: [],
  undo,
  must,
  once: false,
  proof: [],
  fails: [],
  tools_out: [],
  tools_in: [],
  ...(WORDS[id] as { number: string }),
})

export const bundle: Bundle = {
  v: 1,
  id: 'small',
  name: 'Small drive',
  edition: 1,
  vehicle: 'Ellimot Wren',
  engine_codes: ['DX-12P3'],
  cautions: [],
  interval: { months: 60, km: 90_000 },
  interrupt_minutes: 15,
  conditions: machine.conditions.map(({ id, proof, values, start }) => ({
    id,
    kind: proof ? 'proof' : 'engine',
    label: id,
    values: values.map((value) => ({ id: value, says: `the ${id} is ${value}` })),
    start: values[start]!,
  })),
  phases: [{ id: 'drive', name: 'Drive' }],
  steps: machine.steps.map(step),
  rules: [
    { id: 'turn_loose', kind: 'stop', never: 'turn with the nut loose', because: 'the belt jumps' },
    { id: 'turn_unsure', kind: 'ask', never: 'turn unsure', because: 'nobody knows' },
  ],
  ends: [
    { id: 'finished', name: 'Finished', because: false },
    { id: 'recovered', name: 'Recovered', because: true },
  ],
  tools: [{ slot: 'key', label: 'hex key', outline: 'hex_key', tag: 'K' }],
  kit: [{ part: 'belt', label: 'timing belt', count: 1, single_use: true }],
  drive: {
    running: 'clockwise',
    belt: { width_um: 1, back_um: 1, length_um: 1 },
    wheels: [],
    path: [],
    order: [],
    counts: [],
    span: { from: '', to: '', length_um: 1, low_hz: '1', high_hz: '2', target_hz: '1' },
  },
  assets: [],
  machine,
}

export const row: JobRow = {
  job: 'job',
  bundle: 'sha',
  engineCode: 'DX-12P3',
  bay: '2',
  odometerKm: 100,
  odometerUnit: null,
  vin: { blob: 'v' },
  plate: { blob: 'p' },
  customer: null,
  phone: null,
  openedAt: '',
  openedBy: 'ada',
  end: null,
  approved: false,
  lastAt: '',
  lastDevice: '',
  lastPerson: '',
  entries: 0,
  mine: true,
}

/** A job's log on one phone; another hand writes with `as`. */
export class Log {
  readonly held: Held[] = []
  clock = START

  constructor() {
    this.add('job.opened', {
      bundle: 'sha',
      vin: { blob: 'v' },
      plate: { blob: 'p' },
      odometer_km: 100,
      engine_code: 'DX-12P3',
      bay: '2',
    })
  }

  /** `after`: what the writer has seen, where that is not all. */
  add<K extends JobKind>(
    kind: K,
    body: Body<K>,
    as = ME,
    after = this.held.slice(-1).map(({ entry }) => entry.id),
  ): string {
    const id = `e${String(this.held.length).padStart(3, '0')}`
    this.clock += MINUTE
    const entry = {
      id,
      line: '',
      signature: new Uint8Array(0),
      device: as.id,
      person: as.person,
      workshop: 'w',
      job: 'job',
      seq: 1,
      after,
      at: new Date(this.clock).toISOString(),
      kind,
      body,
    }
    this.held.push({
      entry: entry as unknown as Held['entry'],
      place: 'phone',
      index: null,
      standing: 'good',
      mine: true,
    })
    return id
  }

  done(step: string, proof: string[] = []): string {
    return this.add('step.done', { step, proof })
  }

  torque(value = '26'): string {
    return this.add('reading.taken', { step: 'torque', name: 'torque', value, unit: 'N·m', tool: 'TW-2' })
  }

  now(gaps: readonly Gap[] = [], as = ME, statements: readonly Held[] = []): JobNow {
    return jobNow(row, bundle, this.held, as, gaps, statements)
  }
}

/** All steps up to the last one. */
export function upToTurn(): Log {
  const log = new Log()
  for (const step of ['pin_in', 'slacken', 'set']) log.done(step)
  log.done('torque', [log.torque()])
  return log
}

export const stepOf = (now: JobNow, id: string) => now.steps.find(({ step }) => step.id === id)!
