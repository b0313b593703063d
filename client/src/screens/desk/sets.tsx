/** Sets of the workshop: locking tools that are counted together, kits of parts. Each with its pieces and their pictures. */
import { useState } from 'preact/hooks'
import { setOf, setsOf, setTypeName, SET_TYPES, type RegisteredSet } from '../../work/sets'
import { useStatements } from '../office/from-store'
import { Choose } from '../office/choose'
import { letGo, useTyped } from '../office/kept'
import { goTo } from '../office/nav'
import { PageHead } from '../office/shell'
import { usePicture } from '../record/fetched'
import type { Rooms } from '../rooms'
import { BecauseForm, stating } from './because'
import { documentOf, FileField, pictureFault, type Document } from './file-field'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import {
  bodyOf,
  draftOf,
  faultsOf,
  isFine,
  NEW_PIECE,
  type PieceDraft,
  type SetDraft,
  type SetFaults,
} from './set-draft'
import { useWriting, type Write } from './use-writing'
import { TextKey } from '../text-key'
import * as says from '../../words/en/desk/sets'
import { t } from '../../words/message'

export function Sets({ item, ...rooms }: Rooms & { item: string | null }) {
  const statements = useStatements(rooms)
  if (statements === null) return <p role="status">{t(says.reading)}</p>
  const sets = setsOf(statements)
  const shown = item === null ? null : setOf(sets, item)
  return shown ? (
    <OneSet key={shown.set} {...rooms} of={shown} sets={sets} />
  ) : (
    <AllSets {...rooms} sets={sets} />
  )
}

function AllSets({ sets, ...rooms }: Rooms & { sets: readonly RegisteredSet[] }) {
  const { write } = useWriting(rooms, null)
  return (
    <>
      <PageHead>{t(says.title, { n: sets.filter(({ retired }) => retired === null).length })}</PageHead>
      <p class="d-text">{t(says.means)}</p>
      <ul class="found">
        {sets.map((each) => (
          <li key={each.set}>
            <a class="found-row" href={`#/desk/sets/${encodeURIComponent(each.set)}`}>
              <strong>{each.set}</strong>
              <span>{t(says.isA, { label: each.label, type: setTypeName(each.type) })}</span>
              <span>{t(says.pieces, { n: each.pieces.length })}</span>
              <span class={each.retired === null ? '' : 'act-words'}>
                {each.retired === null
                  ? each.engine_codes.join(', ')
                  : t(says.retired, { because: each.retired })}
              </span>
            </a>
          </li>
        ))}
      </ul>
      {rooms.store.writer.value && (
        <FormKey label={t(says.register)}>
          {(leave) => <SetForm write={write} of={null} sets={sets} leave={leave} />}
        </FormKey>
      )}
    </>
  )
}

function OneSet({ of: set, sets, ...rooms }: Rooms & { of: RegisteredSet; sets: readonly RegisteredSet[] }) {
  const { write } = useWriting(rooms, null)
  return (
    <>
      <PageHead>{t(says.isNamed, { set: set.set, label: set.label })}</PageHead>
      {set.retired !== null && <p class="act-words">{t(says.isRetired, { because: set.retired })}</p>}
      <dl class="facts-list">
        <dt>{t(says.whatItIs)}</dt>
        <dd>{setTypeName(set.type)}</dd>
        <dt>{t(says.engines)}</dt>
        <dd>{set.engine_codes.join(', ') || t(says.noEngines)}</dd>
      </dl>
      {set.picture && <Photo {...rooms} of={set.picture} label={set.label} />}
      <h2 class="phase-head">{t(says.pieces, { n: set.pieces.length })}</h2>
      <ul class="pieces">
        {set.pieces.map(({ piece, says: more, picture }) => (
          <li key={piece}>
            {picture && <Photo {...rooms} of={picture} label={piece} />}
            <b>{piece}</b>
            {more && <span class="d-small">{more}</span>}
          </li>
        ))}
      </ul>
      {rooms.store.writer.value && (
        <div class="keys-row">
          <FormKey label={set.retired === null ? t(says.change) : t(says.bringBack)}>
            {(leave) => <SetForm write={write} of={set} sets={sets} leave={leave} />}
          </FormKey>
          {set.retired === null && (
            <FormKey label={t(says.retire)}>
              {(leave) => (
                <BecauseForm
                  {...rooms}
                  title={t(says.retireSet, { set: set.set })}
                  submit={t(says.retire)}
                  means={t(says.retireMeans)}
                  hint={t(says.retireWhyHint)}
                  state={stating('set.retired', { set: set.set })}
                  leave={leave}
                />
              )}
            </FormKey>
          )}
        </div>
      )}
    </>
  )
}

/** px of the copy that is asked for. */
const SMALL = 320

function Photo({ of, label, ...rooms }: Rooms & { of: Document; label: string }) {
  const { url } = usePicture(rooms, of.blob, { width: SMALL, wanted: true })
  return url === null ? (
    <p class="d-small">{t(says.pictureComing)}</p>
  ) : (
    <img class="set-picture" src={url} alt={label} />
  )
}

interface SetFormProps {
  write: Write
  of: RegisteredSet | null
  sets: readonly RegisteredSet[]
  leave: () => void
}

const withoutFiles = (draft: SetDraft): SetDraft => ({
  ...draft,
  file: null,
  pieces: draft.pieces.map((each) => ({ ...each, file: null })),
})

function SetForm({ write, of, sets, leave }: SetFormProps) {
  const name = `set/${of?.set ?? ''}`
  const [draft, setDraft] = useTyped<SetDraft>(name, draftOf(of, SET_TYPES[0]!.id), withoutFiles)
  const [faults, setFaults] = useState<SetFaults>({})
  const set = (changed: Partial<SetDraft>) => setDraft({ ...draft, ...changed })
  const field = (name: 'set' | 'label' | 'engines') => ({
    value: draft[name],
    onValue: (value: string) => set({ [name]: value }),
    fault: faults[name],
  })
  const files = [draft.file, ...draft.pieces.map(({ file }) => file)]
  const act = () => {
    const known = sets.filter(({ retired }) => retired === null).map((each) => each.set)
    const found = faultsOf(draft, of ? [] : known)
    setFaults(found)
    if (!isFine(found) || files.some((file) => pictureFault(file) !== undefined)) return null
    return write(async (w) => {
      await w.entry('set.registered', await bodyOf(draft, (file) => documentOf(w, file)))
    }).then(() => {
      letGo(name)
      leave()
      goTo('desk', 'sets', draft.set.normalize('NFC').trim())
    })
  }
  return (
    <DeskForm title={t(says.register)} submit={t(says.keepIt)} act={act} leave={leave}>
      {of === null && <Field label={t(says.number)} {...field('set')} />}
      <Choose
        label={t(says.whatItIs)}
        value={draft.type}
        onValue={(type) => set({ type })}
        options={SET_TYPES.map(({ id, name }) => ({ value: id, words: name }))}
      />
      <Field label={t(says.whatPeopleCallIt)} {...field('label')} />
      <Field label={t(says.engines)} hint={t(says.enginesHint)} {...field('engines')} />
      <FileField
        label={t(says.pictureOfAll)}
        isPicture
        file={draft.file}
        fault={pictureFault(draft.file)}
        onFile={(file) => set({ file })}
      />
      <Pieces pieces={draft.pieces} fault={faults.pieces} become={(pieces) => set({ pieces })} />
    </DeskForm>
  )
}

interface PiecesProps {
  pieces: readonly PieceDraft[]
  fault: string | undefined
  become: (pieces: PieceDraft[]) => void
}

function Pieces({ pieces, fault, become }: PiecesProps) {
  const change = (at: number, changed: Partial<PieceDraft>) =>
    become(pieces.map((piece, i) => (i === at ? { ...piece, ...changed } : piece)))
  return (
    <>
      {pieces.map((each, at) => (
        <fieldset key={at} class="desk-ticks">
          <legend>{t(says.piece, { n: at + 1 })}</legend>
          <Field
            label={t(says.whatItIsCalled)}
            value={each.piece}
            onValue={(piece) => change(at, { piece })}
            fault={at === 0 ? fault : undefined}
          />
          <Field
            label={t(says.whatIsSaidOfIt)}
            value={each.says}
            onValue={(said) => change(at, { says: said })}
          />
          <FileField
            label={t(says.picture)}
            {...(each.picture ? { hint: t(says.hasPicture) } : {})}
            isPicture
            file={each.file}
            fault={pictureFault(each.file)}
            onFile={(file) => change(at, { file })}
          />
          {pieces.length > 1 && (
            <TextKey says={t(says.takeOut)} onPress={() => become(pieces.filter((_, i) => i !== at))} />
          )}
        </fieldset>
      ))}
      <p>
        <TextKey says={t(says.onePieceMore)} onPress={() => become([...pieces, NEW_PIECE])} />
      </p>
    </>
  )
}
