/** What is ordered erased: who ordered it, when it goes; withdrawn by any owner, hastened by a second one. */
import type { ComingRow, ErasuresAnswer, OrderRow, RuleRow } from '../../ledger/answers'
import { useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import { usePeople } from '../names'
import { dayWords, timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { FormKey } from '../office/form-key'
import { Ask } from '../office/write-words'
import { checkRule, ruleWords, stateWords, thingsOf, type RuleDraft } from './erasing'
import { DeskForm, Field } from './form'
import { deviceName } from './invite'
import { PageHead, TroubleLine } from '../office/shell'
import { Retention } from './retention'
import { useDraft } from './use-draft'
import { useWriting } from './use-writing'
import { TextKey } from '../text-key'
import * as words from '../../words/en/desk/erasing-page'
import { pieces, t } from '../../words/message'

export function Erasing({ answer, ...rooms }: Rooms & { answer: Answer<ErasuresAnswer> | null }) {
  const people = usePeople(rooms)
  if (answer === null) return <p role="status">{t(words.asking)}</p>
  if (!answer.ok) {
    return (
      <>
        <PageHead>{t(words.erasing)}</PageHead>
        <TroubleLine trouble={answer.trouble} />
      </>
    )
  }
  const { orders, rule, coming } = answer.value
  const waiting = orders.filter(({ state }) => state === 'waits')
  const settled = orders.filter(({ state }) => state !== 'waits')
  const listed = (rows: readonly OrderRow[]) => (
    <ul class="people">
      {rows.map((row) => (
        <Order key={row.order} {...rooms} row={row} name={people.get(row.person)} />
      ))}
    </ul>
  )
  return (
    <>
      <PageHead>{waiting.length === 0 ? t(words.nothingOrdered) : t(words.ordersTitle)}</PageHead>
      {waiting.length === 0 && <p class="d-text">{t(words.whereOrdered)}</p>}
      {listed(waiting)}
      <h2 class="phase-head">{t(words.rule)}</h2>
      <p class="d-text">
        {pieces(words.ruleExplained, {
          rule: ruleWords(rule),
          what: <code>{t(words.eraseNowCommand)}</code>,
        })}
      </p>
      {coming.map((each) => (
        <ComingRule key={each.rule} {...rooms} coming={each} />
      ))}
      <ChangeRule {...rooms} rule={rule} />
      <Retention {...rooms} />
      {settled.length > 0 && <h2 class="phase-head">{t(words.before)}</h2>}
      {listed(settled)}
    </>
  )
}

type Word = 'erasure.withdrawn' | 'erasure.hastened'

function Order({ row, name, ...rooms }: Rooms & { row: OrderRow; name: string | undefined }) {
  const [word, setWord] = useState<Word | null>(null)
  const isOpen = row.state === 'waits' && rooms.store.writer.value
  return (
    <li class="person">
      <h2 class="step-phase">{thingsOf(row)}</h2>
      <p class="d-text">
        {row.reason} <span class="d-small">({row.basis})</span>
      </p>
      <p>
        <b>{stateWords(row)}</b>
      </p>
      <p class="d-small">
        {row.person === 'console'
          ? t(words.orderedByComputer, { at: timeWords(row.at) })
          : t(words.orderedBy, {
              at: timeWords(row.at),
              name: name ?? t(words.nameMissing),
              device: deviceName(row.device),
            })}
      </p>
      <ul class="plain-list">
        {row.jobs.map((job) => (
          <li key={job}>
            <a class="beside-job" href={`#/desk/jobs/${job}`}>
              {t(words.openTheJob)}
            </a>
          </li>
        ))}
      </ul>
      {isOpen && word === null && (
        <p class="step-acts">
          <button type="button" class="text-key text-key-main" onClick={() => setWord('erasure.withdrawn')}>
            {t(words.withdrawIt)}
          </button>
          {row.may_hasten && (
            <TextKey says={t(words.eraseItNow)} onPress={() => setWord('erasure.hastened')} />
          )}
        </p>
      )}
      {isOpen && word !== null && (
        <WordForm {...rooms} order={row.order} word={word} leave={() => setWord(null)} />
      )}
    </li>
  )
}

function WordForm({
  order,
  word,
  leave,
  ...rooms
}: Rooms & { order: string; word: Word; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const send = (because: string) =>
    write(async (w) => void (await w.entry(word, { order, because }))).then(leave)
  const isNow = word === 'erasure.hastened'
  return (
    <>
      {isNow && <p class="d-text">{t(words.noWayBack)}</p>}
      <Ask
        draft={`${order} ${word}`}
        label={isNow ? t(words.whyNow) : t(words.whyWithdrawn)}
        submit={isNow ? t(words.eraseItNow) : t(words.withdrawIt)}
        send={send}
        leave={leave}
        longest={500}
      />
    </>
  )
}

function ComingRule({ coming, ...rooms }: Rooms & { coming: ComingRow }) {
  const [isOpen, setOpen] = useState(false)
  return (
    <>
      <p class="d-text">
        <b>
          {t(words.comingRule, { begins: dayWords(coming.begins.slice(0, 10)), coming: ruleWords(coming) })}
        </b>
      </p>
      {rooms.store.writer.value && !isOpen && (
        <TextKey says={t(words.withdrawThisChange)} onPress={() => setOpen(true)} />
      )}
      {isOpen && (
        <WordForm {...rooms} order={coming.rule} word="erasure.withdrawn" leave={() => setOpen(false)} />
      )}
    </>
  )
}

function ChangeRule({ rule, ...rooms }: Rooms & { rule: RuleRow }) {
  if (!rooms.store.writer.value) return null
  return (
    <FormKey label={t(words.changeTheRule)}>
      {(leave) => <RuleForm {...rooms} rule={rule} leave={leave} />}
    </FormKey>
  )
}

function RuleForm({ rule, leave, ...rooms }: Rooms & { rule: RuleRow; leave: () => void }) {
  const { write } = useWriting(rooms, null)
  const start = { days: String(rule.delay_days), most: String(rule.blobs_a_day) }
  const { draft, of, judged, done } = useDraft<RuleDraft>('rule', start, leave)
  const act = () => {
    const body = judged(checkRule(draft))
    return body && write(async (w) => void (await w.entry('erasure.ruled', body))).then(done)
  }
  return (
    <DeskForm title={t(words.changeTheRule)} submit={t(words.stateTheNewRule)} act={act} leave={leave}>
      <p class="d-text">{t(words.newRuleMeans, { delay_days: rule.delay_days })}</p>
      <Field label={t(words.delayLabel)} {...of('days')} />
      <Field label={t(words.perDayLabel)} {...of('most')} />
    </DeskForm>
  )
}
