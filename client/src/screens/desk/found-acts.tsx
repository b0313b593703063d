/** What the owner does with a finding from the desk: the customer's word, work for it, and its end. */
import { useState } from 'preact/hooks'
import type { FoundNow } from '../../work/found'
import { stateWords, wayWords } from '../../work/found-words'
import type { JobRecord } from '../../work/record'
import { writeAnswer, writeExtra } from '../../work/write-found'
import { Choose } from '../office/choose'
import { Tick } from '../office/tick'
import type { FoundActs } from '../record/found'
import { Secret } from '../record/steps'
import type { Rooms } from '../rooms'
import { checkExtra, checkSettled, type ExtraDraft } from './found-drafts'
import { FormKey } from '../office/form-key'
import { DeskForm, Field } from './form'
import { useDraft } from './use-draft'
import type { Write } from './use-writing'
import * as words from '../../words/en/desk/found-acts'
import * as word from '../../words/en/work/customers-word'
import * as settling from '../../words/en/work/settling'
import { namesOf, t } from '../../words/message'

interface ActProps {
  found: FoundNow
  write: Write
  leave: () => void
}

export const actsOnFound =
  (rooms: Rooms, write: Write): FoundActs =>
  ({ closed }: JobRecord, found: FoundNow) => {
    const isOpen = closed === null && found.settled === null
    return (
      <div>
        <FormKey label={t(words.customersWord)}>
          {(leave) => (
            <WordForm {...rooms} found={found} write={write} leave={leave} isOver={closed !== null} />
          )}
        </FormKey>
        {isOpen && (
          <FormKey label={t(words.addWork)}>
            {(leave) => <ExtraForm found={found} write={write} leave={leave} />}
          </FormKey>
        )}
        {found.settled === null && (
          <FormKey label={t(words.settleIt)}>
            {(leave) => <SettleForm found={found} write={write} leave={leave} />}
          </FormKey>
        )}
      </div>
    )
  }

const ANSWERS = ['yes', 'no'] as const
const WAYS = ['call', 'message', 'there'] as const

function WordForm({ found, write, leave, isOver, ...rooms }: Rooms & ActProps & { isOver: boolean }) {
  const start = { answer: 'yes', how: 'call', words: '' }
  const { draft, of, done } = useDraft(`word/${found.entry}`, start, leave)
  const [out, setOut] = useState<readonly string[]>([])
  const extras = found.extras.filter(({ state }) => state !== 'done')
  const act = () =>
    write((w) =>
      writeAnswer(w, found.entry, {
        answer: draft.answer === 'no' ? 'no' : 'yes',
        how: draft.how,
        extras: extras.map(({ entry }) => entry).filter((entry) => !out.includes(entry)),
        words: draft.words.normalize('NFC').trim(),
        signature: '',
      }),
    ).then(done)
  return (
    <DeskForm title={t(words.customersWord)} submit={t(words.keepIt)} act={act} leave={leave}>
      {found.answers.length > 0 && <p class="d-text">{t(word.before, { said: stateWords(found) })}</p>}
      {isOver && <p class="d-text">{t(words.jobIsOver)}</p>}
      <Choose
        label={t(words.theySay)}
        {...of('answer')}
        options={ANSWERS.map((value) => ({ value, words: t(word.answers[value]) }))}
      />
      {draft.answer === 'yes' &&
        extras.map((extra) => (
          <p key={extra.entry}>
            <Tick
              isOn={!out.includes(extra.entry)}
              set={(isOn) =>
                setOut(isOn ? out.filter((entry) => entry !== extra.entry) : [...out, extra.entry])
              }
            >
              <Secret {...rooms} of={extra.what} />
            </Tick>
          </p>
        ))}
      <Choose
        label={t(word.howItCame)}
        {...of('how')}
        options={WAYS.map((value) => ({ value, words: wayWords(value) }))}
      />
      <Field label={t(word.inTheirWords)} {...of('words')} />
    </DeskForm>
  )
}

const NO_EXTRA: ExtraDraft = { what: '', part: '', minutes: '' }

function ExtraForm({ found, write, leave }: ActProps) {
  const { draft, of, judged, done } = useDraft<ExtraDraft>(`extra/${found.entry}`, NO_EXTRA, leave)
  const act = () => {
    const extra = judged(checkExtra(draft))
    return extra && write((w) => writeExtra(w, found.entry, extra)).then(done)
  }
  return (
    <DeskForm title={t(words.addWork)} submit={t(words.addIt)} act={act} leave={leave}>
      <Field label={t(words.theWork)} {...of('what')} />
      <Field label={t(words.itsPart)} {...of('part')} />
      <Field label={t(words.minutes)} inputMode="decimal" {...of('minutes')} />
      {found.isAgreed && <p class="d-text">{t(words.askAgain)}</p>}
    </DeskForm>
  )
}

function SettleForm({ found, write, leave }: ActProps) {
  const start = { how: found.isAgreed ? 'done' : 'dropped', words: '' }
  const { draft, of, judged, done } = useDraft(`settle/${found.entry}`, start, leave)
  const act = () => {
    const said = judged(checkSettled(draft))
    if (!said) return null
    return write(async (w) => {
      const why = await w.secret('words', said.words)
      await w.entry('finding.settled', { finding: found.entry, how: said.how, words: why })
    }).then(done)
  }
  return (
    <DeskForm title={t(words.settleIt)} submit={t(words.settleIt)} act={act} leave={leave}>
      <Choose
        label={t(words.howIsItSettled)}
        {...of('how')}
        options={namesOf(settling.ends).map(({ id, name }) => ({ value: id, words: name }))}
      />
      <Field label={t(words.reason)} {...of('words')} />
    </DeskForm>
  )
}
