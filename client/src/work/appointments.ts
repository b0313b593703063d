/**
 * Who is to do a job, when it is promised, and whether it is parked: never of the fold. The server's twin is
 * `procedure/machine/appointments.py`, which says the rules.
 */
import { add, meet, noBits } from '../procedure/bits'
import type { Body } from '../ledger/bodies'
import { History, type LogEntry } from '../procedure/log'
import type { Held } from '../store'
import { logEntries } from './log'

export interface Appointment {
  /** The `job.planned` that counts. */
  planned: string | null
  /** Plans of those who did not know of it. */
  beside: string[]
  /** The `job.parked` that stands. */
  parked: string | null
}

const PLANS = ['job.planned']
const RESTS = ['job.parked', 'job.resumed']

export function appointmentOf(entries: readonly LogEntry[]): Appointment {
  if (!entries.some(({ kind }) => PLANS.includes(kind) || RESTS.includes(kind)))
    return { planned: null, beside: [], parked: null }
  const history = History.of(entries)
  const plans = newest(history, PLANS)
  const rests = newest(history, RESTS).at(-1)
  return {
    planned: plans.at(-1)?.id ?? null,
    beside: plans.slice(0, -1).map(({ id }) => id),
    parked: rests?.kind === 'job.parked' ? rests.id : null,
  }
}

/** The good entries of these kinds that no other of them follows, in order. */
function newest({ entries, future }: History, kinds: readonly string[]): LogEntry[] {
  const said = [...entries.keys()].filter(
    (at) => kinds.includes(entries[at]!.kind) && entries[at]!.standing === 'good',
  )
  const all = noBits(entries.length)
  for (const at of said) add(all, at)
  return said.filter((at) => !meet(future[at]!, all)).map((at) => entries[at]!)
}

/** The same with what is said in it. */
export interface AppointmentNow {
  person: string | null
  promised: string | null
  /** What others planned who did not know of it. */
  beside: Body<'job.planned'>[]
  parked: Body<'job.parked'> | null
}

export function plannedIn(held: readonly Held[]): AppointmentNow {
  const { planned, beside, parked } = appointmentOf(logEntries(held))
  const bodyOf = (id: string | null): object | null =>
    (id !== null && held.find(({ entry }) => entry.id === id)?.entry.body) || null
  const plan = bodyOf(planned) as Body<'job.planned'> | null
  return {
    person: plan?.person ?? null,
    promised: plan?.promised ?? null,
    beside: beside.map((id) => bodyOf(id) as Body<'job.planned'>),
    parked: bodyOf(parked) as Body<'job.parked'> | null,
  }
}
