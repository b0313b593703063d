/** A job that cannot be worked on here yet, and what helps. */
import { PlainKey, SideKey } from '../../parts/keys'
import { Frame } from './frame'
import { goBay } from './nav'

export type Lacking = 'none' | 'no-bundle' | 'newer'

const LACKING: Record<Lacking, readonly [title: string, what: string]> = {
  none: ['This job is not on this phone', 'It may come with the next signal.'],
  'no-bundle': [
    'Its procedure is not on this phone yet',
    'It comes with the next signal. Nothing can be done in this job before.',
  ],
  newer: [
    'Update the app to work on this job',
    'Its procedure was made for a newer app. Within reach of the workshop, close all windows of this one and open it again; what is here stays.',
  ],
}

export function NotHere({ what }: { what: Lacking }) {
  const [title, says] = LACKING[what]
  return (
    <Frame
      title={title}
      deck={
        <>
          <SideKey icon="lines" label="all jobs" onPress={() => goBay()} />
          <PlainKey label="Where it all is" onPress={() => goBay('places')} />
        </>
      }
    >
      <p>{says}</p>
    </Frame>
  )
}
