/** The gyro while a screen of it is open: a capture from the still second to the stop, and the angle as it grows. */
import { useCallback, useEffect, useRef, useState } from 'preact/hooks'
import { Gyro, NoMotion } from '../../../instruments/turn-motion'
import type { Refusal } from '../../../instruments/refusal'
import type { TurnRecorder, TurnSheet } from '../../../instruments/turn-recorder'
import { scaleHolds, type TurnFound } from '../../../instruments/turn'
import type { Scale } from './turn-scale'
import * as words from '../../../words/en/bay/proofs/turn-gyro'
import { t } from '../../../words/message'

export interface Stroke {
  sheet: TurnSheet
  found: TurnFound
}

type GyroPhase = 'rest' | 'opening' | 'settling' | 'turning'

const LOOK_MS = 100

/** With the scale, where it holds for the axis of this turn. */
function measured(
  recorder: TurnRecorder,
  scale: Scale | null,
): { ppm: number; found: TurnFound | Refusal | null } {
  const found = recorder.soFar(scale?.ppm ?? 0)
  if (!scale || !found?.ok || scaleHolds(scale, found)) return { ppm: scale?.ppm ?? 0, found }
  return { ppm: 0, found: recorder.soFar(0) }
}

type Held = ScreenOrientation & { lock?: (to: string) => Promise<void> }

/** A page that turns with a phone on a bar cannot be read. Where the browser does not let it be held, the phone's own lock is asked for in words. */
function holdPage(): void {
  const page = screen.orientation as Held | undefined
  page?.lock?.(page.type).catch(() => undefined) // in a browser's tab it is refused: that is why the words are there
}

export interface GyroNow {
  phase: GyroPhase
  /** The angle so far. */
  live: TurnFound | null
  /** Why there is no gyro. */
  missing: NoMotion | null
  /** Why the last capture is none. */
  refusal: Refusal | null
  /** To be called in the handler of a tap. */
  begin: () => void
  /** Ends the capture; null with `refusal` where it is none. */
  stop: () => Stroke | null
  /** Lets go of the capture. */
  drop: () => void
}

export function useGyro(scale: Scale | null): GyroNow {
  const gyro = useRef<Gyro | null>(null)
  const recorder = useRef<TurnRecorder | null>(null)
  const gone = useRef(false)
  const [phase, setPhase] = useState<GyroPhase>('rest')
  const [live, setLive] = useState<TurnFound | null>(null)
  const [missing, setMissing] = useState<NoMotion | null>(null)
  const [refusal, setRefusal] = useState<Refusal | null>(null)
  useEffect(
    () => () => {
      gone.current = true
      gyro.current?.close()
      ;(screen.orientation as Held | undefined)?.unlock()
    },
    [],
  )
  const start = (open: Gyro) => {
    gyro.current = open
    if (gone.current) return open.close()
    holdPage()
    recorder.current = open.begin()
    setPhase('settling')
  }
  const begin = () => {
    setLive(null)
    setRefusal(null)
    setMissing(null)
    if (gyro.current) return start(gyro.current)
    setPhase('opening')
    Gyro.open().then(start, (error: unknown) => {
      setPhase('rest')
      setMissing(
        error instanceof NoMotion
          ? error
          : new NoMotion('no-gyro', t(words.noSensor), t(words.noSensorHint), error),
      )
    })
  }
  const end = useCallback((why: Refusal | null) => {
    recorder.current = null
    setPhase('rest')
    setRefusal(why)
  }, [])
  useEffect(() => {
    if (phase !== 'settling' && phase !== 'turning') return undefined
    const look = () => {
      const now = recorder.current
      if (!now) return
      setPhase(now.phase)
      const { found } = measured(now, scale)
      if (found?.ok) setLive(found)
      else if (found && !YET_TO_COME.has(found.code)) end(found)
    }
    const beat = setInterval(look, LOOK_MS)
    return () => clearInterval(beat)
  }, [phase, scale, end])
  const stop = (): Stroke | null => {
    const now = recorder.current
    if (!now) return null
    const { ppm, found } = measured(now, scale)
    const sheet = now.sheet(ppm)
    end(found?.ok === false ? found : null)
    return sheet && found?.ok ? { sheet, found } : null
  }
  return { phase, live, missing, refusal, begin, stop, drop: () => end(null) }
}

/** What is no fault while the turn has only begun. */
const YET_TO_COME = new Set(['no-samples', 'no-turn'])
