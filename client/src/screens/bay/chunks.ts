/** The bay's screens that are not evaluated before its first one stands. */
import { chunk, screenOf } from '../chunk'

const rest = chunk(() => import('./rest'))
const around = chunk(() => import('./around'))

/** What the work at a job takes; what stands around it is evaluated when it is asked for. */
export const bringTheRest = (): Promise<void> => rest.come()

export const GiveAdaptor = screenOf(rest, (its) => its.GiveAdaptor)
export const GiveProof = screenOf(rest, (its) => its.GiveProof)
export const GiveTool = screenOf(rest, (its) => its.GiveTool)
export const StepToolsScreen = screenOf(rest, (its) => its.StepToolsScreen)
export const Tools = screenOf(rest, (its) => its.Tools)

export const Blocked = screenOf(around, (its) => its.Blocked)
export const Close = screenOf(around, (its) => its.Close)
export const ClosedScreen = screenOf(around, (its) => its.ClosedScreen)
export const End = screenOf(around, (its) => its.End)
export const FailScreen = screenOf(around, (its) => its.FailScreen)
export const JobPlaces = screenOf(around, (its) => its.JobPlaces)
export const Note = screenOf(around, (its) => its.Note)
export const OpenRoom = screenOf(around, (its) => its.OpenRoom)
export const Order = screenOf(around, (its) => its.Order)
export const PlacesScreen = screenOf(around, (its) => its.PlacesScreen)
export const Question = screenOf(around, (its) => its.Question)
export const RedoScreen = screenOf(around, (its) => its.RedoScreen)
export const RefusalScreen = screenOf(around, (its) => its.RefusalScreen)
export const Reopen = screenOf(around, (its) => its.Reopen)
export const SettingsScreen = screenOf(around, (its) => its.SettingsScreen)
export const Stop = screenOf(around, (its) => its.Stop)
export const Take = screenOf(around, (its) => its.Take)
