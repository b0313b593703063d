/** The camera's screens: evaluated when a step is shown that asks for one next, or when one is opened. */
import type { Proof } from '../../../procedure/bundle'
import { chunk, screenOf } from '../../chunk'

const camera = chunk(() => import('./by-camera'))

export const CodeFinder = screenOf(camera, (its) => its.CodeFinder)
export const LotScreen = screenOf(camera, (its) => its.LotScreen)
export const PhotoScreen = screenOf(camera, (its) => its.PhotoScreen)
export const TagScreen = screenOf(camera, (its) => its.TagScreen)

/** The camera is asked for next: its screens are here by the time that the key is pressed. */
export function bringTheCameraFor(kind: Proof['kind']): void {
  if (kind === 'photo' || kind === 'scan') void camera.come()
}
