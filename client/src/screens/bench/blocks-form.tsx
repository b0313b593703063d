/** The blocks that a procedure is written with: chosen out of the library, and filled in. */
import type { Document } from 'yaml'
import { useId } from 'preact/hooks'
import type { BlocksAnswer } from '../../ledger/answers'
import { useAsked } from '../office/from-server'
import { TroubleLine } from '../office/shell'
import type { Rooms } from '../rooms'
import { namesAt, nodeAt, wordsAt, type Path } from './edits'
import { Adding, TakeOut, Words } from './fields'
import { Choose } from '../office/choose'
import { ListForm } from './list-form'
import type { Put, Value } from './structure'
import * as words from '../../words/en/bench/blocks-form'
import { t } from '../../words/message'

type Block = BlocksAnswer['blocks'][number]
type FillIn = Block['fill_in'][number]

interface BlocksFormProps {
  rooms: Rooms
  document: Document
  put: Put
}

export function BlocksForm({ rooms, document, put }: BlocksFormProps) {
  const answer = useAsked<BlocksAnswer>(rooms, '/api/blocks')
  if (!answer) return <p role="status">{t(words.comes)}</p>
  if (!answer.ok) return <TroubleLine trouble={answer.trouble} />
  const { blocks } = answer.value
  const chosen = namesAt(document, ['blocks'])
  const left = blocks.filter(({ block, withdrawn }) => !chosen.includes(block) && !withdrawn)
  return (
    <>
      <h2 class="phase-head">{t(words.blocks)}</h2>
      <p class="d-text">{t(words.mean)}</p>
      {chosen.map((name) => (
        <Chosen
          key={name}
          name={name}
          block={blocks.find(({ block }) => block === name) ?? null}
          document={document}
          put={put}
        />
      ))}
      <Adding
        label={t(words.choose)}
        options={left.map(({ block, name }) => ({ value: block, words: name }))}
        add={(block) => put([['blocks', block], {}])}
      />
    </>
  )
}

interface ChosenProps {
  name: string
  /** Null for one that lies beside the procedure: what it asks for stands in its file. */
  block: Block | null
  document: Document
  put: Put
}

function Chosen({ name, block, document, put }: ChosenProps) {
  const at = ['blocks', name]
  const lacks = block?.fill_in.filter((each) => !each.may_lack && filled(document, at, each) === null) ?? []
  return (
    <details class="bench-block">
      <summary>
        <b>{block?.name ?? name}</b>{' '}
        {lacks.length > 0 && <span class="act-words">{t(words.lacks, { n: lacks.length })}</span>}
      </summary>
      <div class="bench-form">
        {block && <p class="d-text">{block.because}</p>}
        {block && (
          <p class="d-small">
            {t(words.steps, { steps: block.steps.map(({ title }) => title).join(' · ') })}
          </p>
        )}
        {block?.fill_in.map((asked) => (
          <Filled key={asked.name} at={at} asked={asked} document={document} put={put} />
        ))}
        <TakeOut what={block?.name ?? name} onPress={() => put([at, null])} />
      </div>
    </details>
  )
}

/** Where something is filled in: at the block, or once for all blocks. */
function filled(document: Document, at: Path, { name }: FillIn): Path | null {
  const places = [
    [...at, name],
    ['fill_in', name],
  ]
  return places.find((path) => nodeAt(document, path) !== null) ?? null
}

interface FilledProps {
  at: Path
  asked: FillIn
  document: Document
  put: Put
}

function Filled({ at, asked, document, put }: FilledProps) {
  const there = filled(document, at, asked)
  const path = there ?? [...at, asked.name]
  const label = asked.unit ? t(words.withUnit, { name: asked.name, unit: asked.unit }) : asked.name
  const hint = there?.[0] === 'fill_in' ? t(words.forAll, { says: asked.says }) : asked.says
  const give = (value: Value | null) => put([path, value])
  const line = {
    label,
    hint,
    value: wordsAt(document, path) ?? '',
    onValue: (value: string) => give(value || null),
  }
  switch (asked.kind) {
    case 'yes_no':
      return (
        <Choose
          {...line}
          options={(['', 'yes', 'no'] as const).map((value) => ({
            value,
            words: t(words.yesNo[value || 'not']),
          }))}
        />
      )
    case 'names':
    case 'texts':
      return <Lines label={label} hint={hint} document={document} path={path} give={give} />
    case 'list':
      return (
        <ListForm label={label} hint={hint} fields={asked.of} document={document} path={path} put={put} />
      )
    default:
      return <Words {...line} />
  }
}

interface LinesProps {
  label: string
  hint: string
  document: Document
  path: Path
  give: (value: Value | null) => void
}

/** Several texts, a line each. */
function Lines({ label, hint, document, path, give }: LinesProps) {
  const id = useId()
  const said = nodeAt(document, path)?.toJS(document) as string[] | string | undefined
  const lines = typeof said === 'string' ? [said] : (said ?? [])
  const typed = (text: string) => text.split('\n').flatMap((line) => line.trim() || [])
  return (
    <div class="desk-field">
      <label for={id}>{label}</label>
      <p class="d-small">{t(words.aLineEach, { hint })}</p>
      <textarea
        id={id}
        rows={Math.max(2, lines.length)}
        value={lines.join('\n')}
        onBlur={(event) => {
          const now = typed(event.currentTarget.value)
          if (now.join('\n') !== lines.join('\n')) give(now.length > 0 ? now : null)
        }}
      />
    </div>
  )
}
