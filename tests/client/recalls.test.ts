/** A recall and a withdrawal on the page of a job, and before its approval. */
import { describe, expect, it } from 'vitest'
import { missingForApproval } from '@client/work/approval'
import { jobRecord } from '@client/work/record'
import { statedSentences } from '@client/work/sentences'
import type { Held } from '@client/store'
import { recalledIn, recallsOf, unsettled } from '@client/work/recalls'
import { bundle, type Log, row, upToTurn } from './baywork'

const said = (kind: string, body: object, n: number, standing = 'good') =>
  ({
    entry: { id: `${n}`.repeat(64), kind, body, at: '2026-11-24T08:00:00.000Z' },
    standing,
  }) as unknown as Held
const recall = said('lot.recalled', { lot: 'NH-1', because: 'Teeth part.' }, 1)
const withdrawn = said('bundle.withdrawn', { bundle: row.bundle, because: 'Wrong torque.' }, 2)
const fit = (log: Log, lot: string) =>
  log.add('part.fitted', { step: 'pin_in', name: 'lot', part: 'belt', lot })

function closed(lot: string): Log {
  const log = upToTurn()
  fit(log, lot)
  log.done('turn')
  log.add('job.closed', { end: 'finished' })
  return log
}

describe('the page of a job', () => {
  const facts = (log: Log, ...statements: Held[]) =>
    statedSentences(jobRecord(row, bundle, log.held, statements)).map(
      ({ fact, because }) => `${fact}. ${because}`,
    )
  it('says what is stated against it, before all else', () => {
    expect(facts(closed('nh 1'), recall, withdrawn)).toEqual([
      'Lot NH-1 is recalled. Teeth part. In this engine: timing belt.',
      'Its procedure was withdrawn. Wrong torque.',
    ])
  })
  it('says nothing of another lot, another procedure, or by a device that may not state it', () => {
    const other = said('bundle.withdrawn', { bundle: 'other', because: 'x' }, 3)
    expect(
      facts(
        closed('NH-2'),
        recall,
        other,
        said('lot.recalled', { lot: 'NH-2', because: 'spite' }, 4, 'doubted'),
      ),
    ).toEqual([])
  })
  it('marks the lot at its step, though the part was replaced', () => {
    const log = closed('NH-1')
    fit(log, 'NH-2')
    const { steps, recalled } = jobRecord(row, bundle, log.held, [recall])
    expect(steps.flatMap(({ parts }) => parts.map((part) => part.recalled))).toEqual(['Teeth part.', null])
    expect(recalled).toEqual([])
  })
})

describe('the approval', () => {
  const missing = (log: Log, ...statements: Held[]) =>
    missingForApproval(jobRecord(row, bundle, log.held, statements)).join(' ')
  it('waits until the part is replaced', () => {
    const log = closed('NH-1')
    expect(missing(log)).not.toContain('recalled')
    expect(missing(log, recall)).toContain('Lot NH-1 is recalled and in this engine')
    fit(log, 'NH-2')
    expect(missing(log, recall)).not.toContain('recalled')
  })
  it('waits until the owner takes it over, and every recall asks for a word of its own', () => {
    const log = closed('NH-1')
    const again = said('lot.recalled', { lot: 'nh-1', because: 'The cord too.' }, 5)
    const part = log.held.find(({ entry }) => entry.kind === 'part.fitted')!.entry.id
    log.add('recall.borne', { recall: recall.entry.id, parts: [part], because: { blob: 'w' } })
    expect(missing(log, recall)).not.toContain('recalled')
    expect(missing(log, recall, again)).toContain('Lot nh-1 is recalled')
    const found = recalledIn(log.held, recallsOf([recall, again]))
    expect(found.map(({ standing, borne, because }) => [standing.length, borne.length, because])).toEqual([
      [1, 0, []],
      [0, 1, [{ blob: 'w' }]],
    ])
    expect(unsettled(found)).toHaveLength(1)
  })
  it("is not opened by a word that is not the owner's", () => {
    const log = closed('NH-1')
    const part = log.held.find(({ entry }) => entry.kind === 'part.fitted')!.entry.id
    log.add('recall.borne', { recall: recall.entry.id, parts: [part], because: { blob: 'w' } })
    log.held.at(-1)!.standing = 'doubted'
    expect(missing(log, recall)).toContain('Lot NH-1 is recalled')
  })
  it('names a withdrawal, and does not wait for it', () => {
    expect(missing(closed('NH-2'), withdrawn)).toBe(missing(closed('NH-2')))
  })
})
