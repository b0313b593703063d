/** The evidence bag of a job, taken away as a file, and how to check it without this server. */
import { useState } from 'preact/hooks'
import type { Trouble } from '../../store'
import { TroubleLine } from '../office/shell'
import { saveFile } from '../save-file'
import type { JobRecord } from '../../work/record'
import type { Rooms } from '../rooms'
import * as says from '../../words/en/audit/bag'
import { t } from '../../words/message'

/** What is to be disclosed beside the record itself. */
interface Wishes {
  vin: boolean
  notes: boolean
  originals: boolean
}

/** The path of the bag, by what is to be disclosed in it. */
export function bagPath(job: string, wishes: Wishes): string {
  const parts = [wishes.vin ? 'vin' : '', wishes.notes ? 'notes' : ''].filter(Boolean)
  const query = new URLSearchParams()
  if (parts.length > 0) query.set('with', parts.join(','))
  if (wishes.originals) query.set('originals', '1')
  const text = query.toString()
  return `/api/jobs/${job}/bag${text === '' ? '' : `?${text}`}`
}

/** Fetch a job's bag and hand it to the browser as a file; what went wrong, or null. */
export async function takeBag(sync: Rooms['sync'], job: string, wishes: Wishes): Promise<Trouble | null> {
  const answer = await sync.askBytes(bagPath(job, wishes))
  if (!answer.ok) return answer.trouble
  saveFile(answer.value, `${job}.zip`)
  return null
}

export function TakeAway({ record, store, sync }: Rooms & { record: JobRecord }) {
  const [wishes, setWishes] = useState<Wishes>({ vin: false, notes: false, originals: false })
  const [busy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const { job } = record.row
  const name = `${job}.zip`
  const take = async () => {
    setBusy(true)
    setTrouble(await takeBag(sync, job, wishes))
    setBusy(false)
  }
  const wish = (key: keyof Wishes, words: string) => (
    <label>
      <input
        type="checkbox"
        checked={wishes[key]}
        onChange={(event) => setWishes({ ...wishes, [key]: event.currentTarget.checked })}
      />
      {words}
    </label>
  )
  return (
    <section class="take-away">
      <h2 class="phase-head">{t(says.title)}</h2>
      <fieldset>
        <legend>{t(says.discloseAsWell)}</legend>
        {wish('vin', t(says.vinAndPlate))}
        {wish('notes', t(says.namesAndWords))}
        {wish('originals', t(says.originalPhotos))}
      </fieldset>
      <button type="button" class="desk-key t-key" disabled={busy} onClick={() => void take()}>
        {busy ? t(says.packing) : t(says.takeBag)}
      </button>
      <TroubleLine trouble={trouble} />
      <p class="d-text">{t(says.howToVerify)}</p>
      <pre class="command" tabIndex={0}>
        {t(says.verifyCommand, { name, workshop: store.device.value?.workshop ?? '' })}
      </pre>
    </section>
  )
}
