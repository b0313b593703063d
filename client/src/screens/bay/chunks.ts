/** The bay's screens that are not evaluated before its first one stands. */
import type { Held } from '../../store'
import type { AppointmentNow } from '../../work/appointments'
import { chunk, screenOf } from '../chunk'

const rest = chunk(() => import('./rest'))
const around = chunk(() => import('./around'))
const lookUp = chunk(() => import('./look-up'))
const found = chunk(() => import('./found'))
const call = chunk(() => import('./enquiry'))

/** What the work at a job takes; what stands around it is evaluated when it is asked for. */
export const bringTheRest = (): Promise<void> => rest.come()

export const GiveAdaptor = screenOf(rest, (its) => its.GiveAdaptor)
export const GiveProof = screenOf(rest, (its) => its.GiveProof)
export const GiveTool = screenOf(rest, (its) => its.GiveTool)
export const StepTools = screenOf(rest, (its) => its.StepTools)
export const Blocked = screenOf(around, (its) => its.Blocked)
export const Close = screenOf(around, (its) => its.Close)
export const Closed = screenOf(around, (its) => its.Closed)
export const End = screenOf(around, (its) => its.End)
export const Fail = screenOf(around, (its) => its.Fail)
export const HandOver = screenOf(around, (its) => its.HandOver)
export const JobPlaces = screenOf(around, (its) => its.JobPlaces)
export const Look = screenOf(around, (its) => its.Look)
export const Note = screenOf(around, (its) => its.Note)
export const OpenRoom = screenOf(around, (its) => its.OpenRoom)
export const Order = screenOf(around, (its) => its.Order)
export const PassPhoto = screenOf(around, (its) => its.PassPhoto)
export const PassReason = screenOf(around, (its) => its.PassReason)
export const Permitted = screenOf(around, (its) => its.Permitted)
export const PlacesScreen = screenOf(around, (its) => its.PlacesScreen)
export const Question = screenOf(around, (its) => its.Question)
export const RedoScreen = screenOf(around, (its) => its.RedoScreen)
export const RefusalScreen = screenOf(around, (its) => its.RefusalScreen)
export const Reopen = screenOf(around, (its) => its.Reopen)
export const SettingsScreen = screenOf(around, (its) => its.SettingsScreen)
export const Stop = screenOf(around, (its) => its.Stop)
export const Take = screenOf(around, (its) => its.Take)
export const Tools = screenOf(around, (its) => its.Tools)

export const ClosedJobs = screenOf(lookUp, (its) => its.ClosedJobs)
export const ReadStep = screenOf(lookUp, (its) => its.ReadStep)
export const Torques = screenOf(lookUp, (its) => its.Torques)

export const FoundRoom = screenOf(found, (its) => its.FoundRoom)
export const Park = screenOf(found, (its) => its.Park)
export const Parked = screenOf(found, (its) => its.Parked)
export const Plan = screenOf(found, (its) => its.Plan)
/** Beside what stands already: nothing is shown until it is here. */
export const PlanLine = screenOf(
  found,
  (its) => its.PlanLine,
  () => null,
)

/** What is planned of a job; null where nothing is, which most jobs are told by without that chunk. */
export async function planOf(held: readonly Held[]): Promise<AppointmentNow | null> {
  if (!held.some(({ entry: { kind } }) => kind === 'job.planned' || kind === 'job.parked')) return null
  await found.come()
  const { value } = found.state
  return value.at === 'here' ? value.module.plannedIn(held) : null
}

/** Rows among others: until they are here, those stand without them. */
export const Calls = screenOf(
  call,
  (its) => its.Calls,
  () => null,
)
export const CallScreens = screenOf(call, (its) => its.CallScreens)
