/**
 * Hands the microphone's samples on, 2,048 at a time, from the sound thread to the worker that listens.
 *
 * Nothing else may be done here: a piece that comes too late is a gap in the sound. The main thread is not in the way
 * of the samples: the first message brings the worker's port.
 */
declare class AudioWorkletProcessor {
  readonly port: MessagePort
}
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void

/** Chosen, 43 ms: sixteen of the sound thread's own blocks, and less than a level is shown for. */
const PIECE = 2_048

class Pieces extends AudioWorkletProcessor {
  #to: MessagePort | null = null
  #piece = new Float32Array(PIECE)
  #count = 0

  constructor() {
    super()
    this.port.onmessage = ({ data }: MessageEvent<MessagePort | null>) => {
      this.#to = data
    }
  }

  process([input]: Float32Array[][]): boolean {
    const channel = input?.[0]
    if (channel && this.#to) {
      this.#piece.set(channel, this.#count)
      this.#count += channel.length
      if (this.#count === PIECE) this.#send(this.#to)
    }
    return true
  }

  #send(to: MessagePort): void {
    to.postMessage(this.#piece, [this.#piece.buffer])
    this.#piece = new Float32Array(PIECE)
    this.#count = 0
  }
}

registerProcessor('pieces', Pieces)
