/** The owner's question about a photo: it goes to the photo's step, and names the photo. */
import { useState } from 'preact/hooks'
import type { JobRecord, PhotoRecord } from '../../work/record'
import type { PhotoActs } from '../record/photo-viewer'
import type { Rooms } from '../rooms'
import { useWriting } from './use-writing'
import { Ask } from '../office/write-words'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/ask-photo'
import { t } from '../../words/message'

/** What an owner may do with a photo; nothing in a window that only shows. */
export const askingAbout =
  (rooms: Rooms): PhotoActs =>
  (photo, record) =>
    rooms.store.writer.value && record.bundle.steps.some(({ id }) => id === photo.body.step) ? (
      <AskAbout {...rooms} key={photo.held.entry.id} photo={photo} record={record} />
    ) : null

function AskAbout({ photo, record, ...rooms }: Rooms & { photo: PhotoRecord; record: JobRecord }) {
  const [state, setState] = useState<'closed' | 'open' | 'sent'>('closed')
  const { job } = record.row
  const { write } = useWriting(rooms, job)
  const { entry } = photo.held
  const step = record.bundle.steps.find(({ id }) => id === photo.body.step)
  if (state !== 'open')
    return (
      <>
        <p role="status">{state === 'sent' ? t(says.sent) : ''}</p>
        <p class="step-acts">
          <TextKey says={t(says.ask)} onPress={() => setState('open')} />
        </p>
      </>
    )
  const send = async (text: string) => {
    await write(
      async (w) =>
        void (await w.entry('review.returned', {
          step: photo.body.step,
          question: await w.secret('words', text),
          photo: entry.id,
        })),
    )
    setState('sent')
  }
  return (
    <Ask
      draft={`${job} ${entry.id}`}
      label={t(says.questionAbout, { label: photo.label, step: step?.number || step?.title || '' })}
      submit={t(says.send)}
      send={send}
      leave={() => setState('closed')}
    />
  )
}
