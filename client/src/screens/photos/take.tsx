/** What was chosen on a sheet leaves as one file: the evidence bags of its jobs, with these photos alone. */
import { useState } from 'preact/hooks'
import { timeWords } from '../../work/format'
import type { PhotoRef } from '../../work/photo-list'
import { TroubleLine } from '../office/shell'
import { TO_BEGIN_WITH, useTaking, wished, type Wishes } from '../office/taking'
import { Tick } from '../office/tick'
import type { Rooms } from '../rooms'
import * as says from '../../words/en/photos/take'
import { t } from '../../words/message'

const questionOf = (photos: readonly PhotoRef[], wishes: Wishes) => ({
  jobs: [...new Set(photos.map(({ job }) => job))],
  photos: [...new Set(photos.map(({ blob }) => blob))],
  ...wished(wishes),
})

export function TakePhotos({ photos, sync }: Rooms & { photos: readonly PhotoRef[] }) {
  const [wishes, wish] = useState<Wishes>(TO_BEGIN_WITH)
  const { isBusy, trouble, take } = useTaking({ sync })
  const question = questionOf(photos, wishes)
  const press = () =>
    take('/api/bags', question, t(says.fileName, { day: timeWords(new Date().toISOString()).slice(0, 10) }))
  return (
    <section class="take-photos">
      <h2 class="phase-head">{t(says.title)}</h2>
      {photos.length === 0 ? (
        <p class="d-text">{t(says.chooseFirst)}</p>
      ) : (
        <>
          <fieldset>
            <legend>{t(says.disclose)}</legend>
            {(['originals', 'vin', 'notes', 'papers'] as const).map((key) => (
              <Tick key={key} isOn={wishes[key]} set={(isOn) => wish({ ...wishes, [key]: isOn })}>
                {t(says.wishes[key])}
              </Tick>
            ))}
          </fieldset>
          {!wishes.originals && <p class="d-text">{t(says.copiesProveNothing)}</p>}
          <button type="button" class="desk-key t-key" disabled={isBusy} onClick={() => void press()}>
            {isBusy
              ? t(says.packing)
              : t(says.take, { photos: question.photos.length, jobs: question.jobs.length })}
          </button>
          <p class="d-text">{t(says.whatItIs)}</p>
          <TroubleLine trouble={trouble} />
        </>
      )}
    </section>
  )
}
