/** Another person or another phone worked on the job last: who goes on says so. */
import { HoldKey, SideKey } from '../../parts/keys'
import type { Device, JobRow } from '../../store'
import { takeJob } from '../../work/write'
import type { ActProps } from './act-props'
import { Frame } from './frame'
import type { InJob } from './in-job'
import { goBay } from './nav'

type TakeProps = Pick<InJob, 'act' | 'head' | 'store' | 'job' | 'onward'> & { row: JobRow; device: Device }

export function Take({ act, head, store, job, onward, row, device }: TakeProps) {
  const since = `The last thing in it was written ${new Date(row.lastAt).toLocaleString('en-GB')}.`
  const take = () => act.run(() => takeJob(store, job), 'The job is taken over.', onward)
  return (
    <TakeScreen
      head={head}
      trouble={act.trouble}
      back={() => goBay()}
      before={row.lastPerson === device.person ? 'Another phone' : 'Somebody else'}
      since={since}
      take={take}
    />
  )
}

function TakeScreen({
  head,
  trouble,
  before,
  since,
  take,
  back,
}: ActProps & { before: string; since: string; take: () => Promise<void> }) {
  return (
    <Frame
      head={head}
      title={`${before} worked on this job last`}
      trouble={trouble}
      deck={
        <>
          <SideKey icon="lines" label="all jobs" onPress={back} />
          <HoldKey label="I go on with it" note="hold to record" done="on this phone" onHeld={take} />
        </>
      }
    >
      <p>{since}</p>
      <p>Whatever may have been left half done is looked at first, one thing at a time.</p>
    </Frame>
  )
}
