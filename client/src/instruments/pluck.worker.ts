/** Listens for plucks off the main thread: pieces of sound come by a port from the sound thread, events go to the page. */
import { Resampler } from './pluck-rate'
import { type Begin, Watch } from './pluck-watch'

declare const self: DedicatedWorkerGlobalScope

self.addEventListener('message', ({ data }: MessageEvent<Begin>) => {
  const resampler = new Resampler(data.rateHz)
  const watch = new Watch(data.near)
  data.port.onmessage = (piece: MessageEvent<Float32Array>) => {
    for (const event of watch.push(resampler.push(piece.data))) self.postMessage(event)
  }
})
