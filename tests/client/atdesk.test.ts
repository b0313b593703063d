import { expect, test } from 'vitest'
import { atDesk } from '@client/screens/office/atdesk'
import * as errors from '@client/store/errors'
import * as notices from '@client/store/notices'
import type { Trouble } from '@client/store'

const isTrouble = (each: unknown): each is Trouble =>
  typeof each === 'object' && each !== null && 'hint' in each
const spoken = [
  ...Object.values(errors),
  ...Object.values(notices),
  notices.keyLost(3, 'Weir'),
  notices.putBack(1, true),
  notices.putBack(2, false),
].filter(isTrouble)

test('what the store says of a phone is said of a device at a desk, and else the same', () => {
  expect(spoken.length).toBeGreaterThan(8)
  for (const trouble of spoken) {
    const { code, message, hint } = atDesk(trouble)
    expect(`${message} ${hint}`).not.toMatch(/this phone/i)
    expect([code, message.replace(/this device/gi, 'this phone').toLowerCase()]).toEqual([
      trouble.code,
      trouble.message.toLowerCase(),
    ])
  }
})
