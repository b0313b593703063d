/** The phone's instruments: few steps ask for one, and it is evaluated when one does. */
import { chunk, screenOf } from '../../chunk'

const instruments = chunk(() => import('./instruments'))

export const MarksScreen = screenOf(instruments, (its) => its.MarksScreen)
export const PluckScreen = screenOf(instruments, (its) => its.PluckScreen)
export const TurnScreen = screenOf(instruments, (its) => its.TurnScreen)
