/** Another person or another phone worked on the job last: who goes on says so. */
import { SideKey } from '../../parts/keys'
import type { Device, JobRow } from '../../store'
import { usePeople } from '../names'
import type { Rooms } from '../rooms'
import { phoneTimeWords } from '../../work/format'
import { takeJob } from '../../work/write'
import { Frame } from './frame'
import type { InJob } from './in-job'
import { goBay } from './nav'
import * as words from '../../words/en/bay/take'
import { t } from '../../words/message'
import { RecordKey } from './act-keys'

type TakeProps = Pick<InJob, 'act' | 'framed' | 'store' | 'job' | 'onward'> &
  Pick<Rooms, 'sync'> & { row: JobRow; device: Device }

export function Take({ act, framed, store, sync, job, onward, row, device }: TakeProps) {
  const at = phoneTimeWords(row.lastAt)
  // A name may come in later: below the title, for a new title is a new screen.
  const name = usePeople({ store, sync }).get(row.lastPerson)
  const take = () => act.run(() => takeJob(store, job), t(words.takenOver), onward)
  return (
    <Frame
      {...framed}
      title={t(words.workedLast, { isOwn: row.lastPerson === device.person })}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={() => goBay()} />}
      main={<RecordKey label={t(words.goOnWithIt)} onHeld={take} />}
    >
      <p>{name === undefined ? t(words.lastWritten, { at }) : t(words.lastWrittenBy, { name, at })}</p>
      <p>{t(words.lookedAtFirst)}</p>
    </Frame>
  )
}
