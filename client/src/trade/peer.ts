/** What the differential tests call in this room. */
import type { PeerFunctions } from '../peer'
import { judgeBelt, warning, type Fitted } from './belt-due'
import { readLabel } from './gs1'
import { spent, usualMinutes } from './hours'
import { checkVin } from './identity'
import { doubt, type Interval, type Reading } from './interval'
import { asked, triage } from './triage'

/** With the warning for a plate, as both are read together. */
const judged = (
  fitted: Fitted,
  interval: Interval | null,
  readings: Reading[],
  today: string,
  plate: string,
) => {
  const verdict = judgeBelt(fitted, interval, readings, today)
  return { ...verdict, warning: warning(verdict, plate) }
}

export const peerFunctions: PeerFunctions = {
  check_vin: checkVin,
  read_label: readLabel,
  triage,
  triage_asks: asked,
  judge_belt: judged,
  doubt,
  spent,
  usual_minutes: usualMinutes,
}
