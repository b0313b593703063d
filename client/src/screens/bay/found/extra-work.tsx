/** Work beside the procedure's: added to a finding, and ticked with a photo, a figure or words once it is done. */
import { Choice } from '../../../parts/choice'
import { MissingKey } from '../../../parts/keys'
import { EntryLine } from '../../../parts/pad'
import { isDecimal } from '../../../procedure/decimals'
import type { ExtraNow } from '../../../work/found'
import { addExtra, doExtra, inClear, type Shown } from '../../../work/write-found'
import { useSecret } from '../../secret'
import { BackKey, RecordKey } from '../act-keys'
import { useDraft } from '../drafts'
import { Frame } from '../frame'
import { asWords, Words } from '../free-words'
import { ShowWith } from './show-with'
import { type OfFinding, useFoundWords } from './one-finding'
import { stepOf } from './step-of'
import * as says from '../../../words/en/bay/found/extra-work'
import { t } from '../../../words/message'

/** Minutes that are offered (chosen): a workshop counts in quarters of an hour. */
const MINUTES = ['15', '30', '60', '120']

export function AddExtra({ found, ...inJob }: OfFinding) {
  const { store, sync, job, framed, act, to } = inJob
  const [typed, setTyped, forget, since] = useDraft(['extra', job, found.entry], '')
  const [part, setPart, forgetPart] = useDraft(['extra', 'part', job, found.entry], '')
  const [minutes, setMinutes, forgetMinutes] = useDraft<string | null>(
    ['extra', 'minutes', job, found.entry],
    null,
  )
  const title = useFoundWords({ store, sync, found })
  const what = asWords(typed)
  const keep = () =>
    act.run(
      () =>
        addExtra(store, job, found.entry, {
          what,
          part: inClear(part),
          minutes: minutes === null ? null : Number(minutes),
        }),
      t(says.isAdded),
      () => to('found', 'one', found.entry),
      forget,
      forgetPart,
      forgetMinutes,
    )
  return (
    <Frame
      {...framed}
      title={t(says.whatIsToDo)}
      side={<BackKey back={() => to('found', 'one', found.entry)} />}
      main={
        what === '' ? (
          <MissingKey label={t(says.sayWhat)} />
        ) : (
          <RecordKey label={t(says.addIt)} note={t(says.thenAsk)} onHeld={keep} />
        )
      }
    >
      <p>
        <b>{title}</b>
      </p>
      <Words label={t(says.theWork)} value={typed} onValue={setTyped} since={since} />
      <EntryLine id="part" label={t(says.itsPart)} value={part} onValue={setPart} mode="text" />
      <Choice
        label={t(says.howLong)}
        rows={MINUTES.map((id) => ({ id, says: t(says.minutes, { minutes: Number(id) }) }))}
        chosen={minutes}
        onChoose={(id) => setMinutes(id === minutes ? null : id)}
      />
    </Frame>
  )
}

/** '9,5 mm' as it is kept: a decimal with a point, and its unit; null where it begins with no figure. */
export function asFigure(typed: string): { value: string; unit: string } | null {
  const [figure = '', ...unit] = typed.normalize('NFC').trim().split(/\s+/)
  const value = figure.replace(',', '.')
  return isDecimal(value) ? { value, unit: [...unit.join(' ')].slice(0, 16).join('') } : null
}

export function DoExtra({
  found,
  extra,
  isPhoto,
  ...inJob
}: OfFinding & { extra: ExtraNow; isPhoto: boolean }) {
  const { store, sync, job, now, act, to } = inJob
  const draft = useDraft(['do', job, extra.entry], '')
  const [figure, setFigure, forgetFigure] = useDraft(['do', 'figure', job, extra.entry], '')
  const [lot, setLot, forgetLot] = useDraft(['do', 'lot', job, extra.entry], '')
  const what = useSecret({ store, sync }, extra.what)
  const read = asFigure(figure)
  const left = found.extras.filter(({ state, entry }) => state === 'agreed' && entry !== extra.entry)
  const step = stepOf(now, found)
  const back = () => to('found', 'one', found.entry)
  const keep = (shown: Shown) =>
    act.run(
      () =>
        doExtra(store, job, {
          finding: found.entry,
          step: step.step.id,
          extra: extra.entry,
          part: extra.part,
          lot: inClear(lot),
          value: read?.value ?? '',
          unit: read?.unit ?? '',
          shown,
          settles: found.state === 'agreed' && left.length === 0,
        }),
      left.length === 0 ? t(says.allDone) : t(says.isDone),
      back,
      draft[2],
      forgetFigure,
      forgetLot,
    )
  return (
    <ShowWith
      {...inJob}
      title={what ?? t(says.theWork)}
      label={t(says.whatWasDone)}
      photoLabel={t(says.photoOfIt)}
      keepLabel={t(says.itIsDone)}
      step={step.step}
      draft={draft}
      isPhoto={isPhoto}
      toPhoto={() => to('found', 'do', extra.entry, 'photo')}
      toWords={() => to('found', 'do', extra.entry)}
      back={back}
      keep={keep}
    >
      {extra.part !== null && (
        <EntryLine
          id="lot"
          label={t(says.lotOf, { part: extra.part })}
          value={lot}
          onValue={setLot}
          mode="text"
        />
      )}
      <EntryLine id="figure" label={t(says.figure)} value={figure} onValue={setFigure} mode="text" />
      {figure.trim() !== '' && !read && <p class="stop-words">{t(says.noFigure)}</p>}
    </ShowWith>
  )
}
