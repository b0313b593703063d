/** What the differential tests call in this room. */
import type { PeerFunctions } from '../peer'
import { csvText } from './csv'
import { tightened } from './found-out'
import { appointmentOf } from './appointments'
import { findingsOf, offeredOf } from './findings'
import { jobCode } from './job-code'
import { inEngine } from './recalls'
import { severityOf } from './severity'
import { lotKey, toolKey } from './spelling'

export const peerFunctions: PeerFunctions = {
  lot_key: lotKey,
  tool_key: toolKey,
  in_engine: inEngine,
  job_code: jobCode,
  tightened,
  csv_text: csvText,
  findings: findingsOf,
  offered: offeredOf,
  appointment: appointmentOf,
  severity: severityOf,
}
