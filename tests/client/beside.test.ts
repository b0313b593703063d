import { describe, expect, it } from 'vitest'
import { apartWords, besideOf, differ } from '@client/work/figure-beside'
import type { Proof } from '@client/procedure/bundle'
import { bundle, Log } from './baywork'

const width: Proof = { name: 'width', kind: 'reading', label: 'width', unit: 'mm', low: '19.5', high: '20.5' }
const teeth: Proof = { name: 'teeth', kind: 'count', label: 'teeth', target: '146' }

describe('the old part beside the new', () => {
  it('shows what was read there, once it was', () => {
    const log = new Log()
    const label = bundle.steps.find(({ id }) => id === 'torque')!.proof[0]!.label
    const proof: Proof = { ...width, like: 'torque.torque' }
    expect(besideOf(log.now(), proof)).toEqual({ label, value: null })
    log.torque('26.4')
    expect(besideOf(log.now(), proof)).toEqual({ label, value: '26.4' })
    expect(besideOf(log.now(), width)).toBeNull()
  })

  it('counts the same teeth, and measures within half a window', () => {
    expect([differ('146', '146', teeth), differ('145', '146', teeth)]).toEqual([false, true])
    expect([differ('19.6', '20.0', width), differ('19.5', '20.1', width)]).toEqual([false, true])
  })

  it('says how far apart, to the last place that was read', () => {
    expect([
      apartWords('19.6', '20.05', 'mm'),
      apartWords('20', '20.0', 'mm'),
      apartWords('145', '146'),
    ]).toEqual(['0.45 mm apart', 'the same', '1 apart'])
  })
})
