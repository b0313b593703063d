/** What a block is given several of, its locks or fastenings say: each with its own words and figures. */
import type { Document } from 'yaml'
import type { FillInRow } from '../../ledger/answers'
import { lengthAt, wordsAt, type Path } from './edits'
import { TakeOut, Words } from './fields'
import { memberOf } from './starters'
import type { Put } from './structure'
import { TextKey } from '../text-key'
import * as words from '../../words/en/bench/list-form'
import { t } from '../../words/message'

interface ListFormProps {
  label: string
  hint: string
  /** What each says; the first is what it is known by. */
  fields: FillInRow['of']
  document: Document
  path: Path
  put: Put
}

export function ListForm({ label, hint, fields, document, path, put }: ListFormProps) {
  const [first] = fields
  const members = [...Array(lengthAt(document, path)).keys()].map((nth) => [...path, nth])
  const called = members.map((at, nth) => wordsAt(document, [...at, first!.name]) ?? String(nth + 1))
  return (
    <fieldset>
      <legend>{label}</legend>
      <p class="d-small">{hint}</p>
      {members.map((at, nth) => (
        <fieldset key={at.join(' ')}>
          <legend>{called[nth]}</legend>
          <div class="bench-figures">
            {fields.map(({ name }) => (
              <Words
                key={name}
                label={name}
                value={wordsAt(document, [...at, name]) ?? ''}
                onValue={(value) => put([[...at, name], value || null])}
              />
            ))}
          </div>
          <TakeOut what={called[nth]!} onPress={() => put([at, null])} />
        </fieldset>
      ))}
      <TextKey
        says={t(words.add, { label })}
        onPress={() => put([[...path, members.length], memberOf(fields, called)])}
      />
    </fieldset>
  )
}
