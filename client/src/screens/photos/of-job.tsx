/** All photos of a job on one page. */
import { useState } from 'preact/hooks'
import { timeWords } from '../../work/format'
import { allPhotos, refOf, type PhotoOfStep } from '../../work/photo-list'
import type { JobRecord } from '../../work/record'
import { PageHead, TroubleLine } from '../office/shell'
import { Older } from '../office/job-lines'
import { useFindings } from '../record/damage'
import { useRecord } from '../record/fetched'
import { JobName } from '../record/head'
import { jobHref } from '../record/links'
import type { PhotoActs } from '../record/photo-viewer'
import type { Rooms } from '../rooms'
import { useSecret } from '../secret'
import { oddWords } from './oddities'
import { Sheet, type SheetItem } from './sheet'
import { TakePhotos } from './take'
import * as says from '../../words/en/photos/of-job'
import { t } from '../../words/message'

/** A job may have thousands: so many at once, and as many more. */
const AT_ONCE = 120

export function PhotosOfJob({ job, acts, ...rooms }: Rooms & { job: string; acts?: PhotoActs | undefined }) {
  const reading = useRecord(rooms, job)
  if (reading.at === 'reading') return <p role="status">{t(says.reading)}</p>
  if (reading.at === 'missing')
    return (
      <>
        <PageHead>{t(says.notHere)}</PageHead>
        <TroubleLine trouble={reading.trouble} />
      </>
    )
  return <Shown {...rooms} record={reading.record} acts={acts} />
}

function itemOf({ photo, step }: PhotoOfStep, jobName: string, isDamaged: boolean): SheetItem {
  const { body, held } = photo
  return {
    ...refOf(photo),
    label: t(says.photoNamed, { label: photo.label, isEarlier: photo.isEarlier }),
    jobName,
    step: step ? step.step.number || step.step.title : body.step,
    takenAt: timeWords(held.entry.at),
    oddities: oddWords({ standing: held.standing, how: body.how, quality: body.quality, isDamaged }),
  }
}

function Shown({ record, acts, ...rooms }: Rooms & { record: JobRecord; acts: PhotoActs | undefined }) {
  const [most, setMost] = useState(AT_ONCE)
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set())
  const plate = useSecret(rooms, record.row.plate) ?? record.bundle.vehicle
  const damaged = new Set(useFindings(rooms, record.row.job).map(({ blob }) => blob))
  const all = allPhotos(record)
  const items = all.slice(0, most).map((each) => itemOf(each, plate, damaged.has(each.photo.body.blob)))
  const workshop = rooms.store.device.value?.workshopName ?? ''
  return (
    <>
      <PageHead>
        {t(says.title)} <JobName {...rooms} record={record} />
      </PageHead>
      <p class="d-text">
        <a class="beside-job" href={jobHref(record.row.job)}>
          {t(says.toTheJob)}
        </a>{' '}
        {t(says.count, { n: all.length })}
      </p>
      {items.length > 0 && (
        <>
          <Sheet
            {...rooms}
            items={items}
            heading={t(says.heading, { workshop, at: timeWords(new Date().toISOString()) })}
            chosen={chosen}
            setChosen={setChosen}
            acts={acts}
            through={all.map(({ photo }) => refOf(photo))}
          />
          <Older
            older={all.length > most ? () => setMost(most + AT_ONCE) : null}
            label={t(says.more, { n: Math.min(AT_ONCE, all.length - most) })}
          />
          <TakePhotos {...rooms} photos={items.filter(({ entry }) => chosen.has(entry))} />
        </>
      )}
    </>
  )
}
