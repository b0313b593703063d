/**
 * The phone's gyro, by DeviceMotionEvent. `alpha`, `beta`, `gamma` are the rates about x, y and z in degrees per second
 * (W3C Device Orientation and Motion; browsers agree, some pages about them do not).
 */
import { TurnRecorder } from './turn-recorder'
import { rounded } from './refusal'
import * as words from '../words/en/instruments/turn-motion'
import { t } from '../words/message'

/** Raised when the phone gives no rates; the words are for the mechanic. `code` is `no-gyro`, `refused` or `needs-tap`. */
export class NoMotion extends Error {
  constructor(
    readonly code: 'no-gyro' | 'refused' | 'needs-tap',
    message: string,
    readonly hint: string,
    cause?: unknown,
  ) {
    super(message, { cause })
    this.name = 'NoMotion'
  }
}

/** What a page needs of the window; a test brings its own. */
export interface MotionSource {
  addEventListener(type: 'devicemotion', hear: (event: DeviceMotionEvent) => void): void
  removeEventListener(type: 'devicemotion', hear: (event: DeviceMotionEvent) => void): void
  DeviceMotionEvent?: { requestPermission?: () => Promise<string> }
}

/** Chosen, a hundred times a sensor's pause: where no rates have come after so long, there is no gyro, or the browser hides it. */
const PATIENCE_MS = 1500
const OTHER_WAY = t(words.anotherWay)

const noGyro = () => new NoMotion('no-gyro', t(words.noRates), OTHER_WAY)

export class Gyro {
  #recorder: TurnRecorder | null = null

  private constructor(private readonly source: MotionSource) {
    source.addEventListener('devicemotion', this.#hear)
  }

  /**
   * Ask for the sensor and wait for its first rates. Some phones show a question, and only in answer to a tap:
   * call this first thing in the handler of one, before anything is awaited.
   *
   * @throws {NoMotion} then the next way to take the proof is offered
   */
  static async open(source: MotionSource = window as unknown as MotionSource): Promise<Gyro> {
    if (!source.DeviceMotionEvent) throw noGyro()
    await allow(source.DeviceMotionEvent)
    await firstRates(source)
    return new Gyro(source)
  }

  /** Begin a capture; what was recorded before is let go of. */
  begin(): TurnRecorder {
    this.#recorder = new TurnRecorder()
    return this.#recorder
  }

  close(): void {
    this.source.removeEventListener('devicemotion', this.#hear)
    this.#recorder = null
  }

  readonly #hear = (event: DeviceMotionEvent): void => {
    const rates = ratesOf(event)
    // A single event without rates is a gap in the capture, and the estimator looks for gaps.
    if (rates) this.#recorder?.add(rounded(event.timeStamp * 1000), ...rates)
  }
}

async function allow(asked: NonNullable<MotionSource['DeviceMotionEvent']>): Promise<void> {
  if (!asked.requestPermission) return
  let answer: string
  try {
    answer = await asked.requestPermission()
  } catch (cause) {
    throw new NoMotion('needs-tap', t(words.needsTap), t(words.needsTapHint), cause)
  }
  if (answer !== 'granted') {
    throw new NoMotion('refused', t(words.notAllowed), t(words.notAllowedHint, { otherWay: OTHER_WAY }))
  }
}

function firstRates(source: MotionSource): Promise<void> {
  return new Promise((found, missing) => {
    const end = (settle: () => void) => {
      source.removeEventListener('devicemotion', hear)
      clearTimeout(timer)
      settle()
    }
    const hear = (event: DeviceMotionEvent) => ratesOf(event) && end(found)
    const timer = setTimeout(() => end(() => missing(noGyro())), PATIENCE_MS)
    source.addEventListener('devicemotion', hear)
  })
}

/** Thousandths of a degree per second, or null: phones without a gyro send events whose rates are null. */
function ratesOf({ rotationRate }: DeviceMotionEvent): [number, number, number] | null {
  const rates = [rotationRate?.alpha, rotationRate?.beta, rotationRate?.gamma]
  if (!rates.every((rate): rate is number => typeof rate === 'number' && Number.isFinite(rate))) return null
  return rates.map((rate) => rounded(rate * 1000)) as [number, number, number]
}
