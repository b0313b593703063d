/** A finding asks for nothing more: it is put right, or it turned out to be none. */
import { useState } from 'preact/hooks'
import { Choice } from '../../../parts/choice'
import { settleFinding } from '../../../work/write-found'
import { useDraft } from '../drafts'
import { type OfFinding, useFoundWords } from './one-finding'
import { ShowWith } from './show-with'
import { stepOf } from './step-of'
import * as says from '../../../words/en/bay/found/settle'
import * as settling from '../../../words/en/work/settling'
import { namesOf, t } from '../../../words/message'

const HOW = namesOf(settling.ends).map(({ id, name }) => ({ id, says: name }))

export function Settle({ found, isPhoto, ...inJob }: OfFinding & { isPhoto: boolean }) {
  const { store, sync, job, now, act, to } = inJob
  const [how, setHow, forgetHow] = useDraft<string>(
    ['settle', 'how', job, found.entry],
    found.isAgreed ? 'done' : 'dropped',
  )
  const draft = useDraft(['settle', job, found.entry], '')
  const what = useFoundWords({ store, sync, found })
  const [left] = useState(() => found.extras.filter(({ state }) => state === 'agreed').length)
  const step = stepOf(now, found).step
  const back = () => to('found', 'one', found.entry)
  return (
    <ShowWith
      {...inJob}
      title={t(says.howIsItSettled)}
      label={t(says.inWords)}
      photoLabel={t(says.photoOfIt)}
      keepLabel={t(says.settleIt)}
      step={step}
      draft={draft}
      isPhoto={isPhoto}
      toPhoto={() => to('found', 'settle', found.entry, 'photo')}
      toWords={() => to('found', 'settle', found.entry)}
      back={back}
      keep={(shown) =>
        act.run(
          () => settleFinding(store, job, found.entry, step.id, how, shown),
          t(says.isSettled),
          back,
          draft[2],
          forgetHow,
        )
      }
    >
      <p>
        <b>{what}</b>
      </p>
      <Choice label={t(says.howIsItSettled)} rows={HOW} chosen={how} onChoose={setHow} />
      {left > 0 && <p class="stop-words">{t(says.extrasLeft, { left })}</p>}
    </ShowWith>
  )
}
