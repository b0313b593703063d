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

type TakeProps = Pick<InJob, 'act' | 'head' | 'store' | 'job' | 'onward'> &
  Pick<Rooms, 'sync'> & { row: JobRow; device: Device }

export function Take({ act, head, store, sync, job, onward, row, device }: TakeProps) {
  const names = usePeople({ store, sync })
  const take = () => act.run(() => takeJob(store, job), t(words.takenOver), onward)
  const before =
    row.lastPerson === device.person
      ? t(words.anotherPhone)
      : (names.get(row.lastPerson) ?? t(words.somebodyElse))
  return (
    <Frame
      head={head}
      title={t(words.workedLast, { before })}
      trouble={act.trouble}
      side={<SideKey icon="lines" label={t(words.allJobs)} onPress={() => goBay()} />}
      main={<RecordKey label={t(words.goOnWithIt)} onHeld={take} />}
    >
      <p>{t(words.lastWritten, { at: phoneTimeWords(row.lastAt) })}</p>
      <p>{t(words.lookedAtFirst)}</p>
    </Frame>
  )
}
