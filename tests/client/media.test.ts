/** What a file is, by its first bytes: as the server reads them. */
import { expect, test } from 'vitest'
import { mediaType } from '@client/trade/media'
import vectors from '../vectors/media_types.json'

test.each(vectors.cases)('$name', ({ hex, type }) => {
  const bytes = Uint8Array.from(hex.match(/../g) ?? [], (pair) => parseInt(pair, 16))
  expect(mediaType(bytes)).toBe(type)
})
