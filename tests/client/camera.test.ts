/** The lamp beside the lens: a key of the photo's screen where the phone lets a page have it (`torch`, W3C Image Capture, section 4). */
import { afterEach, expect, test, vi } from 'vitest'
import { Camera } from '@client/instruments/camera'

/** A camera's track that may have a lamp, as Chromium's do. */
function trackOf(torch: boolean | undefined, refuses = false) {
  const now: { torch?: boolean } = {}
  return {
    getCapabilities: () => (torch === undefined ? {} : { torch }),
    getSettings: () => now,
    applyConstraints: async ({ advanced }: { advanced: { torch: boolean }[] }) => {
      if (refuses) throw new DOMException('in use', 'OverconstrainedError')
      now.torch = advanced[0]!.torch
    },
    stop: () => undefined,
  }
}

async function opened(track: object): Promise<Camera> {
  const stream = { getVideoTracks: () => [track], getTracks: () => [track] }
  vi.stubGlobal('navigator', { mediaDevices: { getUserMedia: async () => stream } })
  return Camera.open()
}

afterEach(() => vi.unstubAllGlobals())

test('is lit and put out where there is one', async () => {
  const camera = await opened(trackOf(true))
  expect(camera.hasLamp).toBe(true)
  expect(await camera.lamp(true)).toBe(true)
  expect(await camera.lamp(false)).toBe(false)
})

test('is not there where the phone says no, knows no such thing, or is older than the question', async () => {
  for (const torch of [false, undefined]) expect((await opened(trackOf(torch))).hasLamp).toBe(false)
  expect((await opened({ ...trackOf(true), getCapabilities: undefined })).hasLamp).toBe(false)
})

test('stays out where it is in use: the key does not say that it is lit', async () => {
  const camera = await opened(trackOf(true, true))
  expect(await camera.lamp(true)).toBe(false)
})
