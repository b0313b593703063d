/** A finding that the owner notes at the desk: seen on a photo, told on the telephone, found on the way out. */
import { useState } from 'preact/hooks'
import type { Picture } from '../../instruments/camera'
import { foundIn, type OfferNow } from '../../work/found'
import { offerWords } from '../../work/found-words'
import { NotKept } from '../../store'
import type { JobRecord } from '../../work/record'
import { foundAt, writeFinding } from '../../work/write-found'
import { Choose } from '../office/choose'
import { FormKey } from '../office/form-key'
import { FileField, pictureFault } from './file-field'
import { DeskForm, Field } from './form'
import { checkFinding, type FindingDraft } from './found-drafts'
import { useDraft } from './use-draft'
import type { Write } from './use-writing'
import * as words from '../../words/en/desk/note-finding'
import { t } from '../../words/message'

interface NoteProps {
  record: JobRecord
  write: Write
}

export function NoteFinding(props: NoteProps) {
  return <FormKey label={t(words.note)}>{(leave) => <NoteForm {...props} leave={leave} />}</FormKey>
}

/** What the procedure calls a finding and nobody noted stands first: an offer by its entry, a step by its id. */
const placesIn = ({ bundle }: JobRecord, offers: readonly OfferNow[]) => [
  ...offers.map((offer) => ({ value: offer.entry, words: offerWords(offer) })),
  ...bundle.steps
    .filter(({ undo }) => !undo)
    .map(({ id, number, title }) => ({ value: id, words: t(words.step, { number, title }) })),
]

/** As the phone keeps one: judged by its own bytes, whatever the file calls itself. */
async function pictureOf(file: File | null): Promise<Picture | null> {
  if (file === null) return null
  const { fromFile, NoPicture } = await import('../../instruments/camera')
  try {
    return await fromFile(file, () => undefined)
  } catch (error) {
    if (!(error instanceof NoPicture)) throw error
    throw new NotKept({ code: 'no-picture', ...error.trouble })
  }
}

function NoteForm({ record, write, leave }: NoteProps & { leave: () => void }) {
  const { job } = record.row
  const { offers } = foundIn(record.held, record.bundle)
  const places = placesIn(record, offers)
  const { draft, of, set, judged, done } = useDraft<FindingDraft>(
    `finding/${job}`,
    { at: places[0]!.value, words: '' },
    leave,
  )
  const [file, setFile] = useState<File | null>(null)
  const fault = pictureFault(file)
  const act = () => {
    const said = judged(checkFinding(draft))
    if (!said || fault !== undefined) return null
    const offer = offers.find(({ entry }) => entry === draft.at) ?? null
    const at = foundAt(record.held, offer?.step.id ?? draft.at, offer)
    return pictureOf(file)
      .then((picture) => write((w) => writeFinding(w, at, { words: said, picture })))
      .then(done)
  }
  return (
    <DeskForm title={t(words.note)} submit={t(words.keepIt)} act={act} leave={leave}>
      <p class="d-text">{t(words.means)}</p>
      <Choose label={t(words.where)} value={draft.at} onValue={(at) => set({ at })} options={places} />
      <Field label={t(words.what)} {...of('words')} />
      <FileField label={t(words.photo)} file={file} fault={fault} onFile={setFile} isPicture />
    </DeskForm>
  )
}
