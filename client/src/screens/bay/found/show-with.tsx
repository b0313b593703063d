/** Something is shown by a photo, by words, or by both: the photo is what the hand finds first. */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { Step } from '../../../procedure/bundle'
import { PlainKey } from '../../../parts/keys'
import type { Shown } from '../../../work/write-found'
import { BackKey, RecordKey } from '../act-keys'
import type { Draft } from '../drafts'
import { Frame } from '../frame'
import { asWords, Words } from '../free-words'
import type { InJob } from '../in-job'
import { PhotoBeside } from '../photo-beside'
import { RowKey } from '../rows'
import * as says from '../../../words/en/bay/found/show-with'
import { t } from '../../../words/message'

export interface ShowWithProps extends Pick<InJob, 'framed' | 'store'> {
  title: string
  /** What the words are. */
  label: string
  /** Of the photo. */
  photoLabel: string
  /** What is kept, on the key that keeps it without a photo. */
  keepLabel: string
  step: Step
  draft: Draft
  /** The address says that the camera is open. */
  isPhoto: boolean
  toPhoto: () => void
  /** Out of the camera, back to the words. */
  toWords: () => void
  back: () => void
  keep: (shown: Shown) => Promise<void>
  children?: ComponentChildren
}

export function ShowWith(props: ShowWithProps) {
  const { framed, title, step, draft, isPhoto, keep } = props
  const [isPlain, setPlain] = useState(false)
  const [typed, setTyped, , since] = draft
  const words = asWords(typed)
  if (isPhoto)
    return (
      <PhotoBeside
        of={props}
        step={{ ...step, once: false }}
        name="finding"
        label={props.photoLabel}
        keep={(picture) => keep({ words, picture })}
        back={props.toWords}
      />
    )
  const isWordsOnly = isPlain && words !== ''
  return (
    <Frame
      {...framed}
      title={title}
      side={<BackKey back={props.back} />}
      main={
        isWordsOnly ? (
          <RecordKey label={props.keepLabel} onHeld={() => keep({ words, picture: null })} />
        ) : (
          <PlainKey label={t(says.takeThePhoto)} note={props.photoLabel} onPress={props.toPhoto} />
        )
      }
    >
      {props.children}
      <Words label={props.label} value={typed} onValue={setTyped} since={since} />
      {words !== '' && (
        <ul class="rows">
          <RowKey onPress={() => setPlain(!isPlain)}>
            {isPlain ? t(says.withAPhoto) : t(says.withoutAPhoto)}
          </RowKey>
        </ul>
      )}
      {words === '' && <p class="soft">{t(says.photoOrWords)}</p>}
    </Frame>
  )
}
