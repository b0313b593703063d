import { describe, expect, it } from 'vitest'
import type { BoardTool } from '@client/work/shown'
import { countOf, isTicked, missingOf, thingsOf } from '@client/screens/bay/proofs/counted-things'

const kit = [
  { part: 'belt', label: 'timing belt', count: 1, single_use: false },
  { part: 'pump_bolts', label: 'pump bolts', count: 5, single_use: true },
  { part: 'stud', label: 'stud', count: 1, single_use: true },
]
const tool = (slot: string, more: Partial<BoardTool> = {}): BoardTool => ({
  slot,
  label: slot,
  outline: 'pin',
  out: false,
  ...more,
})
const taps = (...ids: string[]) => new Set(ids)

describe('a count of named things', () => {
  it('lists the whole kit, or what of it is used once', () => {
    expect(thingsOf('kit', { kit }, []).map(({ label, count }) => [label, count])).toEqual([
      ['timing belt', 1],
      ['pump bolts', 5],
      ['stud', 1],
    ])
    expect(countOf(thingsOf('single_use', { kit }, []))).toBe(6)
  })

  it('is whole when each thing is ticked, and names the first that is not', () => {
    const things = thingsOf('kit', { kit }, [])
    expect(missingOf(things, taps('belt', 'stud'))).toMatchObject({
      thing: { label: 'pump bolts' },
      because: 'not ticked, 2 of 7',
    })
    expect(missingOf(things, taps('belt', 'pump_bolts', 'stud'))).toBeNull()
  })

  it('takes the board at its word: a tool that is out is not there, whatever was tapped', () => {
    const board = [tool('l1', { tag: 'L1' }), tool('l2', { out: true }), tool('bar')]
    const things = thingsOf('tools', { kit }, board)
    expect(things.map(({ label }) => label)).toEqual(['L1 l1', 'l2', 'bar'])
    expect(isTicked(things[1]!, taps('l2'))).toBe(false)
    expect(missingOf(things, taps('l1', 'l2', 'bar'))).toMatchObject({
      thing: { id: 'l2' },
      because: 'is still in the engine bay',
    })
    expect(missingOf(thingsOf('tools', { kit }, [tool('l1', { lost: true })]), taps('l1'))).toMatchObject({
      because: 'is lost',
    })
    expect(missingOf(thingsOf('tools', { kit }, [tool('l1')]), taps('l1'))).toBeNull()
  })
})
