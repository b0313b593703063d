/** The bay's screens that are not evaluated before its first one stands. */
import { chunk, screenOf } from '../chunk'

const rest = chunk(() => import('./rest'))

export const bringTheRest = (): Promise<void> => rest.come()

export const GiveAdaptor = screenOf(rest, (its) => its.GiveAdaptor)
export const GiveProof = screenOf(rest, (its) => its.GiveProof)
export const GiveTool = screenOf(rest, (its) => its.GiveTool)
export const PhotoScreen = screenOf(rest, (its) => its.PhotoScreen)

export const Blocked = screenOf(rest, (its) => its.Blocked)
export const Close = screenOf(rest, (its) => its.Close)
export const ClosedScreen = screenOf(rest, (its) => its.ClosedScreen)
export const End = screenOf(rest, (its) => its.End)
export const FailScreen = screenOf(rest, (its) => its.FailScreen)
export const JobPlaces = screenOf(rest, (its) => its.JobPlaces)
export const Note = screenOf(rest, (its) => its.Note)
export const OpenRoom = screenOf(rest, (its) => its.OpenRoom)
export const Order = screenOf(rest, (its) => its.Order)
export const PlacesScreen = screenOf(rest, (its) => its.PlacesScreen)
export const Question = screenOf(rest, (its) => its.Question)
export const RedoScreen = screenOf(rest, (its) => its.RedoScreen)
export const RefusalScreen = screenOf(rest, (its) => its.RefusalScreen)
export const Reopen = screenOf(rest, (its) => its.Reopen)
export const SettingsScreen = screenOf(rest, (its) => its.SettingsScreen)
export const StepToolsScreen = screenOf(rest, (its) => its.StepToolsScreen)
export const Stop = screenOf(rest, (its) => its.Stop)
export const Take = screenOf(rest, (its) => its.Take)
export const Tools = screenOf(rest, (its) => its.Tools)
