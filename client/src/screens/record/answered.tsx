/** Questions that were answered, until an owner has read the answer: it would else be gone with the question. */
import type { ComponentChildren } from 'preact'
import type { JobRecord } from '../../work/record'
import { unreadAnswers } from '../../work/settled'
import type { Rooms } from '../rooms'
import { stepLink } from './figures'
import { Secret } from './steps'
import * as says from '../../words/en/record/answered'
import { t } from '../../words/message'

interface AnsweredProps extends Rooms {
  record: JobRecord
  acts?: ((record: JobRecord) => ComponentChildren) | undefined
}

export function Answered({ record, acts, ...rooms }: AnsweredProps) {
  const unread = new Set(unreadAnswers(record.held))
  const told = record.steps.flatMap(({ step, questions }) =>
    questions.flatMap((asked) =>
      asked.answers
        .filter(({ held }) => unread.has(held.entry.id))
        .map((answer) => ({ step, asked, answer })),
    ),
  )
  if (told.length === 0) return null
  return (
    <section>
      <h2 class="phase-head">{t(says.title, { n: told.length })}</h2>
      {told.map(({ step, asked, answer }) => (
        <div class="question-row" key={answer.held.entry.id}>
          <p>{stepLink(step.id, t(says.about, { step: step.number || step.title }))}</p>
          <p>
            <Secret {...rooms} of={asked.question} />
          </p>
          <p>
            <b>{answer.words ? <Secret {...rooms} of={answer.words} /> : t(says.withAPhoto)}</b>
          </p>
        </div>
      ))}
      {acts?.(record)}
    </section>
  )
}
