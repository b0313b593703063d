/** Another person or another phone worked on the job last: who goes on says so. */
import { SideKey } from '../../parts/keys'
import type { Device, JobRow } from '../../store'
import { usePeople } from '../names'
import type { Rooms } from '../rooms'
import { phoneTimeWords } from '../../work/format'
import { takeJob } from '../../work/write'
import type { ActProps } from './act-props'
import { Frame } from './frame'
import type { InJob } from './in-job'
import { goBay } from './nav'
import * as words from '../../words/en/bay/take'
import { t } from '../../words/message'
import { RecordKey } from './act-keys'

type TakeProps = Pick<InJob, 'act' | 'head' | 'store' | 'job' | 'onward'> &
  Pick<Rooms, 'sync'> & { row: JobRow; device: Device }

export function Take({ act, head, store, sync, job, onward, row, device }: TakeProps) {
  const names = usePeople({ store, sync })
  const since = t(words.lastWritten, { at: phoneTimeWords(row.lastAt) })
  const take = () => act.run(() => takeJob(store, job), t(words.takenOver), onward)
  return (
    <TakeScreen
      head={head}
      trouble={act.trouble}
      back={() => goBay()}
      before={
        row.lastPerson === device.person
          ? t(words.anotherPhone)
          : (names.get(row.lastPerson) ?? t(words.somebodyElse))
      }
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
      title={t(words.workedLast, { before })}
      trouble={trouble}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={back} />}
      main={<RecordKey label={t(words.goOnWithIt)} onHeld={take} />}
    >
      <p>{since}</p>
      <p>{t(words.lookedAtFirst)}</p>
    </Frame>
  )
}
