/** What is typed and not kept: there after the page is gone, gone once it is kept, erased or old. */
import { beforeEach, describe, expect, it, vi } from 'vitest'
import {
  forgetAllTyped,
  forgetTyped,
  forgetTypedBefore,
  keepTyped,
  typedOf,
} from '@client/store/typed-drafts'
import { Erasures } from '@client/sync/erasures'

/** As the HTML standard's Storage, of which its keys are own properties (section 12.2.1). */
function storage(): Storage {
  const its = {
    getItem(key: string) {
      return (this as unknown as Record<string, string>)[key] ?? null
    },
    setItem(key: string, text: string) {
      ;(this as unknown as Record<string, string>)[key] = text
    },
    removeItem(key: string) {
      delete (this as unknown as Record<string, string>)[key]
    },
  }
  return Object.create(its) as Storage
}

const at = (day: number, hour = 8) => new Date(Date.UTC(2026, 10, day, hour))

beforeEach(() => vi.stubGlobal('localStorage', storage()))

describe('what was typed', () => {
  it('is there for another page of this device, with its time', () => {
    keepTyped('call ', { phone: '55 1234' }, at(24))
    expect(typedOf('call ', at(25))).toEqual({ at: at(24).toISOString(), value: { phone: '55 1234' } })
    expect(localStorage.getItem('typed/call ')).toContain('55 1234')
  })
  it('goes when it is kept or thrown away, and with the access of the device, and nothing else goes with it', () => {
    localStorage.setItem('bench/engine', 'not ours')
    keepTyped('note a', 'oil', at(24))
    keepTyped('note b', 'belt', at(24))
    forgetTyped('note a')
    expect([typedOf('note a', at(24)), typedOf('note b', at(24))?.value]).toEqual([null, 'belt'])
    forgetAllTyped()
    expect(Object.keys(localStorage)).toEqual(['bench/engine'])
  })
  it('goes with an erasure that came after it', () => {
    keepTyped('note a', 'Mira Oake', at(24))
    keepTyped('note b', 'a new customer', at(26))
    forgetTypedBefore(at(25).toISOString())
    expect([typedOf('note a', at(26)), typedOf('note b', at(26))?.value]).toEqual([null, 'a new customer'])
  })
  it('goes as the phone follows that erasure, not one that nobody may order', async () => {
    const entry = { kind: 'blob.erased', body: { blob: 'b' }, at: at(25).toISOString() }
    const follow = (isBelieved: boolean) =>
      new Erasures(
        {
          ledger: { statements: async () => [{ entry, index: 0 }] },
          blobs: { forget: async () => undefined, hide: async () => undefined },
        } as never,
        { roster: async () => ({ editionAt: () => 2, speaksAs: () => isBelieved }) } as never,
      ).follow()
    keepTyped('note a', 'Mira Oake', at(24))
    await follow(false)
    expect(typedOf('note a', at(24))?.value).toBe('Mira Oake')
    await follow(true)
    expect(typedOf('note a', at(24))).toBeNull()
  })
  it('goes after a week, whatever screen is opened then', () => {
    keepTyped('note a', 'oil', at(20))
    expect(typedOf('note b', at(27, 7))).toBeNull()
    expect(Object.keys(localStorage)).toHaveLength(1)
    typedOf('note b', at(27, 9))
    expect(Object.keys(localStorage)).toEqual([])
  })
  it('of another build that cannot be read is none', () => {
    localStorage.setItem('typed/note a', '{')
    localStorage.setItem('typed/note b', '{"value": 1}')
    expect([typedOf('note a', at(24)), typedOf('note b', at(24))]).toEqual([null, null])
  })
  it('is there for as long as the page lives where the browser keeps nothing', () => {
    vi.stubGlobal('localStorage', undefined)
    keepTyped('note a', 'oil', at(24))
    expect(typedOf('note a', at(24))?.value).toBe('oil')
    forgetAllTyped()
    expect(typedOf('note a', at(24))).toBeNull()
  })
})
