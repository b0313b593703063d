import { expect, test } from 'vitest'
import { Patience, wholly } from '@client/sync/line'

/** As Chromium gives a 204 from the network: a status that may have no body, and a stream all the same. */
function emptyAnswer(): Response {
  const answer = new Response(null, { status: 204, headers: { 'Upload-Offset': '7' } })
  return Object.defineProperty(answer, 'body', { value: new Blob([]).stream() })
}

test('an answer without a body is a whole answer', async () => {
  const patience = new Patience(0)
  const whole = await wholly(emptyAnswer(), patience)
  patience.over()
  expect([whole.status, whole.headers.get('Upload-Offset'), whole.body]).toEqual([204, '7', null])
})
