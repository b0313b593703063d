/** A wrench that was found out stops the mechanic once, in a job that it worked in. */
import { describe, expect, it } from 'vitest'
import type { Held } from '@client/store'
import { doubtedStops } from '@client/work/doubted-stops'
import { stopsOf } from '@client/work/stops'
import { bundle, upToTurn, type Log } from './baywork'

const found = {
  ...{ tool: 'TW-2', on: '2026-11-24', unit: 'N·m', allowed_percent: '4' },
  points: [
    { nominal: '20', found: '18.2' },
    { nominal: '100', found: '91' },
  ],
}
const stated = [
  { entry: { id: 'c'.repeat(64), kind: 'tool.checked', body: found }, standing: 'good' },
] as unknown as Held[]

function tightened(log: Log, tool: string): Log {
  const { id, proof } = bundle.steps.find((step) => step.torque)!
  const [{ name, low, high }] = proof as unknown as readonly [{ name: string; low: string; high: string }]
  log.add('reading.taken', { step: id, name, value: '26', unit: 'N·m', low, high, tool })
  return log
}
const stops = (log: Log) => doubtedStops(log.now(), stated)

describe('a wrench that was found out', () => {
  it('stops a job in which it worked, with what is to be done again', () => {
    const [stop, ...more] = stops(tightened(upToTurn(), 'tw 2'))
    expect(more).toEqual([])
    expect(stop?.fact).toBe('TW-2 was found out')
    expect(stop?.because).toBe('At a check on 24 Nov 2026: it delivers 9 % less than it is set to.')
    expect(stop?.hint).toContain('4 Nut, 26 N·m was really 23.66')
  })
  it('stops no other job, and none in which all was tightened again', () => {
    expect(stops(tightened(upToTurn(), 'TW-1'))).toEqual([])
    expect(stops(tightened(tightened(upToTurn(), 'TW-2'), 'TW-1'))).toEqual([])
  })
  it('is told until somebody says that it was seen', () => {
    const log = tightened(upToTurn(), 'TW-2')
    const [stop] = stops(log)
    expect(stopsOf(log.now(), stops(log))).toEqual([stop])
    log.add('note.added', { name: stop!.name, text: { blob: 'w' } })
    expect(stopsOf(log.now(), stops(log))).toEqual([])
  })
})
