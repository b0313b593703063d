import { describe, expect, it } from 'vitest'
import { AT_REST, HOLD_MS, holdNext, type HoldEvent } from '@client/parts/hold'
import { placeOf, placeWords } from '@client/parts/place'
import { pathOf } from '@client/parts/signature'

const after = (...events: HoldEvent[]) => events.reduce(holdNext, AT_REST).phase

describe('a held key', () => {
  it('fires once when it was held long enough', () => {
    expect(after({ type: 'down', by: 'pointer', at: 0 }, { type: 'tick', at: HOLD_MS })).toBe('working')
    expect(after({ type: 'down', by: 'pointer', at: 0 }, { type: 'up', at: HOLD_MS + 1 })).toBe('working')
  })
  it('fires for no two drops of water, and says that a tap is too short', () => {
    const drop: HoldEvent[] = [
      { type: 'down', by: 'pointer', at: 0 },
      { type: 'up', at: 80 },
    ]
    expect(after(...drop, ...drop)).toBe('short')
    expect(after(...drop, { type: 'down', by: 'pointer', at: 90 })).toBe('holding')
    expect(after(...drop, { type: 'cancel' })).toBe('rest')
  })
  it('starts its time anew after it was let go', () => {
    expect(
      after(
        { type: 'down', by: 'pointer', at: 0 },
        { type: 'up', at: 500 },
        { type: 'down', by: 'pointer', at: 550 },
        { type: 'tick', at: 700 },
      ),
    ).toBe('holding')
  })
  it('lets a keyboard confirm without timing: once arms, twice fires', () => {
    const press: HoldEvent[] = [
      { type: 'down', by: 'keys', at: 0 },
      { type: 'up', at: 50 },
    ]
    expect(after(...press)).toBe('armed')
    expect(after(...press, { type: 'down', by: 'keys', at: 5_000 })).toBe('working')
  })
  it('lets assistive technology confirm with two clicks', () => {
    expect(after({ type: 'click' })).toBe('armed')
    expect(after({ type: 'click' }, { type: 'click' })).toBe('working')
  })
  it('forgets that it was armed when the focus leaves', () => {
    expect(after({ type: 'click' }, { type: 'blur' }, { type: 'click' })).toBe('armed')
    expect(after({ type: 'down', by: 'keys', at: 0 }, { type: 'blur' })).toBe('rest')
  })
  it('is held on by a finger when the focus leaves: a screen may take it for what came in', () => {
    const held: HoldEvent[] = [{ type: 'down', by: 'pointer', at: 0 }, { type: 'blur' }]
    expect(after(...held)).toBe('holding')
    expect(after(...held, { type: 'tick', at: HOLD_MS })).toBe('working')
    expect(after(...held, { type: 'cancel' })).toBe('rest')
  })
  it('is whole only after the write, and at rest again when it was refused', () => {
    const working: HoldEvent[] = [{ type: 'click' }, { type: 'click' }]
    expect(after(...working, { type: 'written' })).toBe('painted')
    expect(after(...working, { type: 'refused' })).toBe('rest')
  })
  it('cannot fire twice while it writes or when it is painted', () => {
    const working: HoldEvent[] = [{ type: 'click' }, { type: 'click' }]
    const again: HoldEvent[] = [
      { type: 'down', by: 'pointer', at: 0 },
      { type: 'up', at: 9_999 },
    ]
    expect(after(...working, ...again)).toBe('working')
    expect(after(...working, { type: 'written' }, ...again)).toBe('painted')
  })
})

describe('places', () => {
  it('are never better than the least safe thing', () => {
    expect(placeOf({ phone: 1, workshop: 0, backup: 500 })).toBe('phone')
    expect(placeOf({ phone: 0, workshop: 1, backup: 500 })).toBe('workshop')
    expect(placeOf({ phone: 0, workshop: 0, backup: 500 })).toBe('backup')
  })
  it('count what is on this phone only', () => {
    expect(placeWords({ phone: 16, workshop: 3, backup: 0 })).toBe('16 on this phone')
    expect(placeWords({ phone: 0, workshop: 3, backup: 0 })).toBe('in the workshop')
  })
})

describe('a drawn signature', () => {
  it('is a path of whole numbers, one move a stroke', () => {
    expect(
      pathOf([
        [
          [1.2, 2.7],
          [10, 20],
        ],
        [
          [5, 5],
          [6, 6],
        ],
      ]),
    ).toBe('M1 3L10 20M5 5L6 6')
  })
  it('leaves out a dot that a drop made', () => {
    expect(pathOf([[[1, 1]]])).toBe('')
  })
  it('stays short enough for a private value and keeps both ends', () => {
    const long = Array.from({ length: 5_000 }, (_, i): [number, number] => [i % 332, (i * 7) % 200])
    const path = pathOf([long])
    expect(path.length).toBeLessThanOrEqual(1_900)
    expect(path.startsWith('M0 0')).toBe(true)
    expect(path.endsWith(`L${4_999 % 332} ${(4_999 * 7) % 200}`)).toBe(true)
  })
})
