/** The checks of a tool, newest first: as it was found, and until when it was good then, with its certificate. */
import type { ComponentChildren } from 'preact'
import { dayWords } from '../../work/format'
import type { FoundAt, ToolRow } from '../../work/statements'
import { isGoodCheck, pointsWords } from '../../work/tool-checks'
import type { Rooms } from '../rooms'
import { DocumentKey } from './document'
import * as words from '../../words/en/office/checks'
import { t } from '../../words/message'

interface ChecksProps extends Pick<ToolRow, 'checks' | 'found'> {
  /** Beside a check that found the tool out. */
  beside?: (found: FoundAt) => ComponentChildren
}

export function Checks({ checks, found, beside, ...rooms }: Rooms & ChecksProps) {
  if (checks.length + found.length === 0) return <p class="d-text">{t(words.noneYet)}</p>
  const rows = [
    ...found.map((each) => ({ on: each.body.on, shown: <Found each={each} beside={beside} /> })),
    ...checks.map((check) => ({ on: check.on, shown: <Good {...rooms} check={check} /> })),
  ]
  return (
    <ul class="plain-list">
      {rows
        .sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))
        .reverse()
        .map(({ shown }, n) => (
          <li key={n}>{shown}</li>
        ))}
    </ul>
  )
}

function Good({ check, ...rooms }: Rooms & { check: ToolRow['checks'][number] }) {
  const { on, due, certificate, document, tool } = check
  return (
    <>
      <p>
        {t(words.goodUntil, {
          on: dayWords(on),
          due: dayWords(due),
          isNamed: certificate !== undefined,
          certificate: certificate ?? '',
        })}
      </p>
      {document && <DocumentKey {...rooms} of={document} name={t(words.certificateOf, { tool, on })} />}
    </>
  )
}

function Found({ each, beside }: { each: FoundAt; beside: ChecksProps['beside'] }) {
  const { body } = each
  const isGood = isGoodCheck(body)
  return (
    <p>
      <span class={isGood ? '' : 'act-words'}>
        {t(words.found, {
          on: dayWords(body.on),
          isGood,
          points: pointsWords(body),
          isNamed: body.certificate !== undefined,
          certificate: body.certificate ?? '',
        })}
      </span>{' '}
      {!isGood && beside?.(each)}
    </p>
  )
}
