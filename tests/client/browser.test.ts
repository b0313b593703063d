/** What a browser lacks is told with what it costs; only what would make "kept" untrue keeps a phone out. */
import { expect, it } from 'vitest'
import { lacksOf, type BrowserHas } from '@client/store/browser'

const all: BrowserHas = {
  database: true,
  keys: true,
  files: true,
  worker: true,
  background: true,
  wakeLock: true,
  camera: true,
  lasting: true,
}

it('has nothing to tell of a browser that has all', () => {
  expect(lacksOf(all)).toEqual([])
})

it('lets a phone join without a second copy, and says that there is none', () => {
  const [files, ...others] = lacksOf({ ...all, files: false })
  expect(others).toEqual([])
  expect(files).toMatchObject({ isNeeded: false })
  expect(files?.costs).toContain('once, not twice')
})

it('warns where a browser throws storage away after days without use, and says what helps', () => {
  const [lasting] = lacksOf({ ...all, lasting: false })
  expect(lasting).toMatchObject({ isNeeded: false })
  expect(lasting?.costs).toMatch(/seven days.*home screen/)
})

it.each(['database', 'keys'] as const)('keeps a phone out that has no %s', (needed) => {
  expect(lacksOf({ ...all, [needed]: false }).map(({ isNeeded }) => isNeeded)).toEqual([true])
})
