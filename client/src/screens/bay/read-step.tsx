/** A step to be read: what is done in it and why, what it asks for, and what was given. Nothing is written from here. */
import { useState } from 'preact/hooks'
import { PlainKey } from '../../parts/keys'
import { MakersWord } from '../../parts/makers-word'
import { Seal, SEAL_WORDS } from '../../parts/seal'
import type { Held } from '../../store'
import { phoneTimeWords } from '../../work/format'
import { windowWords } from '../../work/limits'
import { capital } from '../../work/letters'
import { wordsAtStep } from '../../work/makers-words'
import type { JobNow, StepNow } from '../../work/job'
import { recallsOf } from '../../work/recalls'
import { stepRecord, type PhotoRecord } from '../../work/record'
import { toolLabel } from '../../work/step-tools'
import { usePicture } from '../record/fetched'
import { useMissing } from '../record/photo'
import { StepInside } from '../record/steps'
import type { Rooms } from '../rooms'
import { BackKey } from './act-keys'
import { Drawing, StepDrawn, StepPicture } from './drawing'
import { Frame } from './frame'
import type { InJob } from './in-job'
import { pictureOf } from './picture-of'
import { RowKey } from './rows'
import { Caution, Says, spoken, Torque } from './step'
import { canSay, say, useHushAfter } from './voice'
import * as says from '../../words/en/bay/read-step'
import { t } from '../../words/message'

type ReadProps = Pick<InJob, 'store' | 'now' | 'head' | 'to'> &
  Pick<Rooms, 'sync'> & { asked: StepNow; statements: readonly Held[] }

const isDone = ({ seal }: StepNow) => seal === 'holds' || seal === 'passed'

/** The next of the listed steps; null after the last. */
const nextOf = ({ steps }: JobNow, { index }: StepNow) =>
  steps.find((each) => each.index > index && !each.step.undo) ?? null

export function ReadStep(props: ReadProps) {
  const { store, sync, now, asked, statements, head, to } = props
  const [photo, setPhoto] = useState<PhotoRecord | null>(null)
  useHushAfter(asked.step.id)
  if (photo)
    return <ReadPhoto store={store} sync={sync} head={head} photo={photo} back={() => setPhoto(null)} />
  const { step } = asked
  const ours = step.picture ? undefined : step.drawn // its writer's own says more, as when it is worked on
  const record = stepRecord(now.held, now.state, now.bundle, recallsOf(statements), asked.index)
  return (
    <Frame
      head={{ ...head, step: step.number || null }}
      title={step.title}
      side={<BackKey back={() => to('order')} />}
      main={<Onward {...props} />}
    >
      <p class="read-state">
        <Seal state={record.seal} size={34} />
        <span>
          {capital(SEAL_WORDS[record.seal])}
          {record.doneAt !== null && <small>{phoneTimeWords(record.doneAt)}</small>}
        </span>
      </p>
      <StepInside store={store} sync={sync} record={record} openPhoto={setPhoto} />
      <Torque step={step} />
      {wordsAtStep(now.bundle, step).map((rule) => (
        <MakersWord key={rule.id} rule={rule} />
      ))}
      <Says step={step} />
      <Caution step={step} />
      {ours !== undefined && <StepDrawn name={ours} />}
      {ours === undefined && step.look.length > 0 && (
        <div class="step-body read-drawing">
          <Drawing now={now} shows={asked.index} />
        </div>
      )}
      {step.picture && (
        <StepPicture key={step.picture.asset} picture={step.picture} read={pictureOf(store, now.bundle)} />
      )}
      {!isDone(asked) && <Asks now={now} step={step} />}
      <ul class="rows">
        {canSay() && <RowKey onPress={() => say(spoken(now, asked))}>{t(says.sayIt)}</RowKey>}
        <Act {...props} />
      </ul>
    </Frame>
  )
}

function Onward({ now, asked, to }: ReadProps) {
  const next = nextOf(now, asked)
  if (next === null) return <PlainKey label={t(says.orderOfWork)} onPress={() => to('order')} />
  return (
    <PlainKey
      label={t(says.readNext, { number: next.step.number || t(says.it) })}
      note={next.step.title}
      onPress={() => to('read', next.step.id)}
    />
  )
}

/** What can be done with it at all is done on a screen of its own, which says why it cannot. */
function Act({ now, asked, to }: ReadProps) {
  const number = asked.step.number || t(says.it)
  if (now.row.end !== null) return null
  if (isDone(asked))
    return (
      <RowKey note={t(says.priceFirst)} onPress={() => to('reopen', asked.step.id)}>
        {t(says.doAgain, { number })}
      </RowKey>
    )
  return (
    <RowKey note={t(says.whatIsFirst)} onPress={() => to('step', asked.step.id)}>
      {t(says.workOn, { number })}
    </RowKey>
  )
}

/** What comes: the tools that move, and each proof with its window. */
function Asks({ now, step }: { now: JobNow; step: StepNow['step'] }) {
  const slots = (of: readonly string[]) => of.map((slot) => toolLabel(now, slot)).join(', ')
  const asks = step.proof.filter(({ kind }) => kind !== 'confirm')
  return (
    <section>
      <h2 class="read-head">{t(says.itAsks)}</h2>
      <ul class="read-asks">
        {step.tools_out.length > 0 && <li>{t(says.off, { tools: slots(step.tools_out) })}</li>}
        {asks.map((proof) => (
          <li key={proof.name}>
            {t(says.ask, {
              kind: proof.kind,
              label: proof.label,
              hasWindow: windowWords(proof) !== '',
              window: windowWords(proof),
            })}
            {proof.hint !== undefined && <small>{proof.hint}</small>}
          </li>
        ))}
        {step.tools_in.length > 0 && <li>{t(says.on, { tools: slots(step.tools_in) })}</li>}
        <li>{t(says.oneHold, { act: step.act })}</li>
      </ul>
    </section>
  )
}

function ReadPhoto({
  photo,
  head,
  back,
  ...rooms
}: Rooms & { photo: PhotoRecord; head: ReadProps['head']; back: () => void }) {
  const { body, held, label } = photo
  const { url, missing } = usePicture(rooms, body.blob, { wanted: true })
  const words = useMissing(rooms, body.blob, missing)
  return (
    <Frame
      head={head}
      title={capital(label)}
      side={<BackKey back={back} />}
      main={<PlainKey label={t(says.backToStep)} onPress={back} />}
    >
      {url ? (
        <div class="finder finder-full" role="group" tabIndex={0} aria-label={label}>
          <img src={url} alt={label} style={{ width: `max(100%, ${body.width / devicePixelRatio}px)` }} />
        </div>
      ) : (
        <p role="status">{words?.whole ?? t(says.photoComes)}</p>
      )}
      <p>{t(says.takenAt, { at: phoneTimeWords(held.entry.at), live: body.how === 'live' })}</p>
    </Frame>
  )
}
