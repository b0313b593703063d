/** Taking bags away: what is to leave the workshop is asked first, and said again beside the key. */
import { useState } from 'preact/hooks'
import { useKept } from '../office/kept'
import { TroubleLine } from '../office/shell'
import { TO_BEGIN_WITH, useTaking, wished, type Wishes } from '../office/taking'
import { Tick } from '../office/tick'
import type { Rooms } from '../rooms'
import * as says from '../../words/en/audit/take'
import { pieces, t } from '../../words/message'

/** The question for one bag, or for several in one file with what proves a sample. */
export function questionOf(jobs: readonly string[], sample: string | null, wishes: Wishes) {
  if (jobs.length === 1 && sample === null)
    return { path: `/api/jobs/${jobs[0]}/bag?${new URLSearchParams(wished(wishes))}` }
  const question = { jobs, ...wished(wishes), ...(sample === null ? {} : { sample }) }
  return { path: '/api/bags', question }
}

interface TakeProps extends Rooms {
  jobs: readonly string[]
  /** The freeze of the sample that the jobs are. */
  sample?: string | null
}

export function Take({ jobs, sample = null, store, sync }: TakeProps) {
  const [wishes, setWishes] = useKept<Wishes>('audit/take', TO_BEGIN_WITH)
  const [name, setName] = useState<string | null>(null)
  const { isBusy, trouble, take } = useTaking({ sync })
  const press = async () => {
    const { path, question } = questionOf(jobs, sample, wishes)
    const saved = await take(path, question)
    if (saved !== null) setName(saved)
  }
  return (
    <section class="take-away">
      <h2 class="phase-head">{t(says.title)}</h2>
      <Asked wishes={wishes} set={setWishes} />
      <p class="d-text">
        {t(says.chosen, {
          bags: jobs.length,
          photos: wishes.originals ? 'originals' : 'copies',
          vin: wishes.vin,
          notes: wishes.notes,
          papers: wishes.papers,
        })}
      </p>
      <button type="button" class="desk-key t-key" disabled={isBusy} onClick={() => void press()}>
        {isBusy ? t(says.packing, { bags: jobs.length }) : t(says.take, { bags: jobs.length })}
      </button>
      <TroubleLine trouble={trouble} />
      <HowToCheck name={name} workshop={store.device.value?.workshop ?? ''} />
    </section>
  )
}

function HowToCheck({ name, workshop }: { name: string | null; workshop: string }) {
  return (
    <>
      <p class="d-text">{t(says.howToVerify)}</p>
      <pre class="command" tabIndex={0}>
        {t(says.verifyCommand, { name: name ?? 'FILE.zip', workshop })}
      </pre>
      <p class="d-text">
        {pieces(says.orPage, {
          page: (
            <a class="beside-job" href="/check.html" target="_blank" rel="noopener">
              {t(says.thePage)}
            </a>
          ),
        })}
      </p>
    </>
  )
}

function Asked({ wishes, set }: { wishes: Wishes; set: (wishes: Wishes) => void }) {
  const photos = (originals: boolean, words: string) => (
    <label>
      <input
        type="radio"
        name="photos"
        checked={wishes.originals === originals}
        onChange={() => set({ ...wishes, originals })}
      />
      {words}
    </label>
  )
  const wish = (key: 'vin' | 'notes' | 'papers', words: string) => (
    <Tick isOn={wishes[key]} set={(isOn) => set({ ...wishes, [key]: isOn })}>
      {words}
    </Tick>
  )
  return (
    <>
      <fieldset>
        <legend>{t(says.photos)}</legend>
        {photos(true, t(says.originals))}
        {photos(false, t(says.copies))}
      </fieldset>
      <fieldset>
        <legend>{t(says.leaves)}</legend>
        {wish('vin', t(says.vinAndPlate))}
        {wish('notes', t(says.namesAndWords))}
        {wish('papers', t(says.papers))}
      </fieldset>
    </>
  )
}
