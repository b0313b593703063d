/** The odometer's screen: few procedures ask for it in a step. */
import { chunk, screenOf } from '../../chunk'

const around = chunk(() => import('../around'))

export const OdometerScreen = screenOf(around, (its) => its.OdometerScreen)
