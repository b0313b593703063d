/** The customer's yes or no to a finding and to the work that was named for it; a signature where it is given here. */
import { useState } from 'preact/hooks'
import { Choice } from '../../../parts/choice'
import { MissingKey } from '../../../parts/keys'
import { SignaturePad } from '../../../parts/signature'
import { stateWords, wayWords } from '../../../work/found-words'
import { answerFinding } from '../../../work/write-found'
import { BackKey, RecordKey } from '../act-keys'
import { useDraft } from '../drafts'
import { Frame } from '../frame'
import { asWords, Words } from '../free-words'
import { RowKey } from '../rows'
import { ExtraLine, type OfFinding, useFoundWords } from './one-finding'
import * as says from '../../../words/en/bay/found/customers-word'
import * as word from '../../../words/en/work/customers-word'
import { t } from '../../../words/message'

const WAYS = ['call', 'message', 'there', 'signature'] as const
type Way = (typeof WAYS)[number]

const ANSWERS = [
  { id: 'yes', says: t(word.answers.yes) },
  { id: 'no', says: t(word.answers.no) },
] as const
type Answer = 'yes' | 'no'

export function CustomersWord({ found, ...inJob }: OfFinding) {
  const { store, sync, job, framed, act, to } = inJob
  const [answer, setAnswer] = useState<Answer | null>(null)
  const [how, setHow] = useState<Way>('call')
  const [out, setOut] = useState<readonly string[]>([])
  const [path, setPath] = useState('')
  const [typed, setTyped, forget, since] = useDraft(['word', job, found.entry], '')
  const what = useFoundWords({ store, sync, found })
  const named = found.extras.filter(({ entry, state }) => state !== 'done' && !out.includes(entry))
  const isUnsigned = how === 'signature' && path === ''
  const keep = () =>
    act.run(
      () =>
        answerFinding(store, job, found.entry, {
          answer: answer ?? 'no',
          how,
          extras: named.map(({ entry }) => entry),
          words: asWords(typed),
          signature: how === 'signature' ? path : '',
        }),
      t(says.isKept),
      () => to('found', 'one', found.entry),
      forget,
    )
  return (
    <Frame
      {...framed}
      title={t(says.whatDoTheySay)}
      side={<BackKey back={() => to('found', 'one', found.entry)} />}
      main={
        answer === null ? (
          <MissingKey label={t(says.chooseAbove)} note={t(says.yesOrNo)} />
        ) : isUnsigned ? (
          <MissingKey label={t(says.signAbove)} />
        ) : (
          <RecordKey label={t(says.keepIt[answer])} note={wayWords(how)} onHeld={keep} />
        )
      }
    >
      <p>
        <b>{what}</b>
      </p>
      {found.answers.length > 0 && <p class="soft">{t(word.before, { said: stateWords(found) })}</p>}
      <Choice
        label={t(says.yesOrNo)}
        rows={ANSWERS}
        chosen={answer}
        onChoose={(id) => setAnswer(id as Answer)}
      />
      {answer === 'yes' && found.extras.some(({ state }) => state !== 'done') && (
        <ul class="rows" aria-label={t(says.toWhat)}>
          {found.extras
            .filter(({ state }) => state !== 'done')
            .map((extra) => {
              const isIn = !out.includes(extra.entry)
              return (
                <RowKey
                  key={extra.entry}
                  pressed={isIn}
                  note={isIn ? t(says.yesTo) : t(says.notTo)}
                  onPress={() =>
                    setOut(isIn ? [...out, extra.entry] : out.filter((id) => id !== extra.entry))
                  }
                >
                  <ExtraLine extra={extra} store={store} sync={sync} />
                </RowKey>
              )
            })}
        </ul>
      )}
      <Choice
        label={t(word.howItCame)}
        rows={WAYS.map((id) => ({ id, says: wayWords(id) }))}
        chosen={how}
        onChoose={(id) => setHow(id as Way)}
      />
      {how === 'signature' && <SignaturePad label={t(says.signed)} path={path} onPath={setPath} />}
      <Words label={t(word.inTheirWords)} value={typed} onValue={setTyped} since={since} />
    </Frame>
  )
}
