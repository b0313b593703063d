/** The words that a procedure shares with the phone: `tests/vectors/vocabulary.json` holds both sides to one another. */
import { expect, it } from 'vitest'
import { OUTLINE_NAMES } from '@client/parts/board'
import { DRAWING_NAMES } from '@client/parts/drawings'
import { SIGNS } from '@client/parts/signs'
import { TOOL_TYPES } from '@client/screens/desk/drafts'
import shared from '../vectors/vocabulary.json'

it('draws every sign, drawing and tool that a procedure may name, and an owner can register each type', () => {
  expect([...SIGNS].sort()).toEqual(shared.signs)
  expect([...DRAWING_NAMES].sort()).toEqual(shared.drawings)
  expect([...OUTLINE_NAMES].sort()).toEqual(shared.outlines)
  expect(Object.fromEntries(TOOL_TYPES.map(({ type, unit }) => [type, unit]))).toEqual(shared.tool_units)
})
