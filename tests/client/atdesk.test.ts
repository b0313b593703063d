import { expect, test } from 'vitest'
import { atDesk } from '@client/screens/office/atdesk'
import * as errors from '@client/store/errors'
import * as notices from '@client/store/notices'
import type { Trouble } from '@client/store'
import * as refusals from '@client/sync/errors'

const isTrouble = (each: unknown): each is Trouble =>
  typeof each === 'object' && each !== null && 'hint' in each
const spoken = [
  ...Object.values(errors),
  ...Object.values(notices),
  ...Object.values(refusals),
  refusals.notOurs('The answer').trouble,
  refusals.sealingOf(new refusals.Refused(401, { code: 'device-revoked', message: '', hint: '' }))?.trouble,
  notices.keyLost(3, ''),
  notices.keyLost(3, 'Weir'),
  notices.entriesLost([1, 2, 4]),
  notices.putBack(1, true),
  notices.putBack(2, false),
].filter(isTrouble)

test('what the store says of a phone is said of a device at a desk, and else the same', () => {
  expect(spoken.length).toBeGreaterThan(20)
  for (const trouble of spoken) {
    const { code, message, hint } = atDesk(trouble)
    expect(`${message} ${hint}`).not.toMatch(/this phone/i)
    expect([code, message.replace(/this device/gi, 'this phone').toLowerCase()]).toEqual([
      trouble.code,
      trouble.message.toLowerCase(),
    ])
  }
})
