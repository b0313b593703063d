/** Chunk: the drive as a job has it now, with what one of its steps shows there, or what is to be looked at. */
import type { Bundle } from '../procedure/bundle'
import { Drive } from './drive'
import { driveState, stepView } from './drive-words'

export interface DriveNowProps {
  now: {
    bundle: Bundle
    possible: Readonly<Record<string, readonly string[]>>
    tags: Readonly<Record<string, string>>
  }
  /** A step, by its place; or the names of wheels and tools. */
  shows: number | readonly string[]
}

export function DriveNow({ now, shows, ...size }: DriveNowProps & { width: number; height: number }) {
  const state = driveState(now.bundle.drive, now.possible)
  const view = typeof shows === 'number' ? stepView(now.bundle, shows, state) : { look: shows }
  return <Drive drive={now.bundle.drive} state={state} tags={now.tags} {...view} {...size} />
}
