import { describe, expect, it } from 'vitest'
import { boltPlaces } from '@client/work/bolt-places'

describe('where bolts stand, by their names', () => {
  it('is told from above, the front at the top', () => {
    expect(boltPlaces(['front left', 'rear right', 'front right', 'rear left'])).toEqual([
      { row: 1, column: 1 },
      { row: 3, column: 3 },
      { row: 1, column: 3 },
      { row: 3, column: 1 },
    ])
  })

  it('is the middle of what a name leaves out', () => {
    expect(boltPlaces(['front', 'rear'])).toEqual([
      { row: 1, column: 2 },
      { row: 3, column: 2 },
    ])
  })

  it('is not guessed: a name that says more or less, two in one place, a single bolt', () => {
    expect(boltPlaces(['top', 'right', 'left'])).toBeNull()
    expect(boltPlaces(['front left', 'rear right long one'])).toBeNull()
    expect(boltPlaces(['front', 'front'])).toBeNull()
    expect(boltPlaces(['front left', 'left front'])).toBeNull()
    expect(boltPlaces(['front'])).toBeNull()
  })
})
