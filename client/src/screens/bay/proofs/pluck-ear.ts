/** The microphone while a screen of it is open: from the tap that opens it to three plucks that agree, or to why not. */
import { useSignal } from '@preact/signals'
import type { ReadonlySignal } from '@preact/signals'
import { useCallback, useEffect, useRef, useState } from 'preact/hooks'
import { nearRange } from '../../../instruments/pluck'
import { listen, NoMicrophone, type ListenEvent, type Listening } from '../../../instruments/pluck-listen'
import {
  NEW_SESSION,
  take,
  type Session,
  type Trouble,
  type Window as Limits,
} from '../../../instruments/pluck-session'
import * as words from '../../../words/en/bay/proofs/pluck-ear'
import { t } from '../../../words/message'

type EarPhase = 'rest' | 'opening' | 'listening'

/** dB of full scale: now, and the loudest of late, which falls slowly so that a pluck can be seen after it is gone. */
export interface Level {
  db: number
  peak: number
}

export interface EarNow {
  phase: EarPhase
  session: Session
  level: ReadonlySignal<Level>
  /** Nothing like a pluck for so long that it may have been too soft. */
  isQuiet: boolean
  /** Why it stopped listening before the end. */
  lost: Trouble | null
  /** Why there is no microphone. */
  missing: Trouble | null
  /** What was opened last, closed since or not: its microphone and its warning go with the reading. */
  listening: Listening | null
  /** To be called in the handler of a tap; three plucks begin anew. */
  begin: () => void
  close: () => void
}

const NO_LEVEL: Level = { db: -100, peak: -100 }
/** 10 dB a second, at twenty levels a second. */
const PEAK_FALLS_DB = 0.5
const QUIET_MS = 8_000

const LEFT: Trouble = {
  code: 'left',
  message: t(words.left),
  hint: t(words.leftHint),
}

export function useEar(limits: Limits): EarNow {
  const open = useRef<Listening | null>(null)
  const gone = useRef(false)
  const isOpening = useRef(false)
  const level = useSignal(NO_LEVEL)
  const [phase, setPhase] = useState<EarPhase>('rest')
  const [session, setSession] = useState(NEW_SESSION)
  const [lost, setLost] = useState<Trouble | null>(null)
  const [missing, setMissing] = useState<Trouble | null>(null)
  const [listening, setListening] = useState<Listening | null>(null)

  const close = useCallback(() => {
    void open.current?.close()
    open.current = null
    setPhase('rest')
  }, [])
  const lose = (trouble: Trouble) => {
    close()
    setLost(trouble)
  }
  const hear = (event: ListenEvent) => {
    if (event.kind === 'level')
      level.value = { db: event.db, peak: Math.max(event.db, level.value.peak - PEAK_FALLS_DB) }
    else if (event.kind === 'pluck') setSession((before) => take(before, event, limits))
    else lose(event.trouble)
  }
  const begin = () => {
    if (isOpening.current) return
    isOpening.current = true
    level.value = NO_LEVEL
    setSession(NEW_SESSION)
    setLost(null)
    setMissing(null)
    setPhase('opening')
    void opened(limits, hear).then((found) => {
      isOpening.current = false
      if ('code' in found) {
        setMissing(found)
        setPhase('rest')
      } else if (gone.current) void found.close()
      else {
        open.current = found
        setListening(found)
        setPhase('listening')
      }
    })
  }
  useEffect(
    () => () => {
      gone.current = true
      void open.current?.close()
    },
    [],
  )
  useEffect(() => {
    if (session.end) close()
  }, [session.end, close])
  useHidden(phase === 'listening', () => lose(LEFT))
  const isQuiet = useQuiet(phase === 'listening', session)
  return { phase, session, level, isQuiet, lost, missing, listening, begin, close }
}

/** The open microphone, or why there is none. */
async function opened(
  { low, high, nominal }: Limits,
  hear: (event: ListenEvent) => void,
): Promise<Listening | Trouble> {
  let lost: Trouble | null = null
  const told = (event: ListenEvent) => {
    if (event.kind === 'lost') lost = event.trouble
    hear(event)
  }
  try {
    const found = await listen(nearRange(Number(low), Number(high), Number(nominal)), told)
    return lost ?? found
  } catch (cause) {
    if (cause instanceof NoMicrophone) return cause.trouble
    throw cause
  }
}

/** Nobody is listened to behind a page that is not shown. */
function useHidden(isOn: boolean, leave: () => void): void {
  useEffect(() => {
    if (!isOn) return undefined
    const look = () => document.visibilityState === 'hidden' && leave()
    document.addEventListener('visibilitychange', look)
    return () => document.removeEventListener('visibilitychange', look)
  }, [isOn, leave])
}

/** A pluck too soft to be told from noise makes no event: what says so is that none comes. */
function useQuiet(isOn: boolean, session: Session): boolean {
  const [isQuiet, setQuiet] = useState(false)
  useEffect(() => {
    setQuiet(false)
    if (!isOn) return undefined
    const timer = setTimeout(() => setQuiet(true), QUIET_MS)
    return () => clearTimeout(timer)
  }, [isOn, session])
  return isQuiet
}
