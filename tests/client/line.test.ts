import { expect, test, vi } from 'vitest'
import { Patience, Portion, wholly } from '@client/sync/line'

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

test('portions grow until a line of 2 kB/s that is ten seconds late is used, and no further', async () => {
  let now = 0
  const clock = vi.spyOn(performance, 'now').mockImplementation(() => now)
  const portion = new Portion(8 * 1024, 2 * 1024 * 1024, 8 * 1024)
  const times: { moving: number; all: number }[] = []
  for (let n = 0; n < 12; n++) {
    await portion.move(async (size) => {
      const moving = size / 2
      times.push({ moving, all: moving + 10_000 })
      now += moving + 10_000
    })
  }
  clock.mockRestore()
  const { moving, all } = times.at(-1) as { moving: number; all: number }
  expect(moving / all).toBeGreaterThan(0.7)
  expect(Math.max(...times.map((one) => one.all))).toBeLessThan(120_000) // a line is up for so long, if that
})
