/** What the check found, each finding with its line and what to do; one with a way there can be played. */
import type { FindingAnswer } from '../../ledger/answers'
import { capital } from '../../work/letters'
import { TextKey } from '../text-key'
import * as words from '../../words/en/bench/findings'
import { t } from '../../words/message'

interface FindingsProps {
  findings: readonly FindingAnswer[]
  notes: readonly FindingAnswer[]
  choose: (finding: FindingAnswer) => void
  play: (finding: FindingAnswer) => void
}

export function Findings({ findings, notes, choose, play }: FindingsProps) {
  return (
    <>
      <ol class="bench-findings">
        {findings.map((finding, nth) => (
          <li key={nth}>
            <Finding finding={finding} choose={choose} play={play} />
          </li>
        ))}
      </ol>
      {notes.length > 0 && (
        <details class="d-text">
          <summary>{t(words.notes, { n: notes.length })}</summary>
          <ul class="plain-list">
            {notes.map(({ message, hint }, nth) => (
              <li key={nth}>
                {capital(message)}. {hint}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  )
}

type FindingProps = Pick<FindingsProps, 'choose' | 'play'> & { finding: FindingAnswer }

function Finding({ finding, choose, play }: FindingProps) {
  const { line, block, message, hint, code, way } = finding
  return (
    <>
      <p>
        {line !== null && (
          <button type="button" class="bench-line" onClick={() => choose(finding)}>
            {t(words.line, { line })}
          </button>
        )}{' '}
        {block && <span>{t(words.ofBlock, { line: block.line, block: block.block })} </span>}
        <b>{capital(message)}</b> <span class="quiet">({code})</span>
      </p>
      <p class="d-text">{hint}</p>
      {way.length > 0 && <TextKey says={t(words.play, { n: way.length })} onPress={() => play(finding)} />}
    </>
  )
}
