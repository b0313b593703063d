/** When a read code counts. The decoder itself is tried in the browser, through the camera. */
import { expect, test } from 'vitest'
import { TwiceAlike } from '@client/instruments/scan'

test('a code counts when two looks in a row give it', () => {
  const twice = new TwiceAlike()
  expect(['K4-0077', 'K4-0071', 'K4-0077', 'K4-0077'].map((text) => twice.push([text]))).toEqual([
    null,
    null,
    null,
    'K4-0077',
  ])
})

test('a look that reads nothing begins anew', () => {
  const twice = new TwiceAlike()
  expect([['a'], [], ['a'], ['a']].map((texts) => twice.push(texts))).toEqual([null, null, null, 'a'])
})

test('of several codes the one that was there before counts', () => {
  const twice = new TwiceAlike()
  expect(
    [
      ['a', 'b'],
      ['c', 'b'],
    ].map((texts) => twice.push(texts)),
  ).toEqual([null, 'b'])
})
