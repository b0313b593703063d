/** What is ordered erased: who ordered it, when it goes; withdrawn by any owner, hastened by a second one. */
import type { ComingRow, ErasuresAnswer, OrderRow, RuleRow } from '../../ledger/answers'
import { useState } from 'preact/hooks'
import type { Answer } from '../../sync'
import { usePeople } from '../names'
import { dayWords, timeWords } from '../../work/format'
import type { Rooms } from '../rooms'
import { Ask } from './write-words'
import type { Faults } from './drafts'
import { checkRule, ruleWords, stateWords, thingsOf, type RuleDraft } from './erasing'
import { DeskForm, Field } from './form'
import { deviceName } from './invite'
import { PageHead, TroubleLine } from '../office/shell'
import { useWriting } from './use-writing'

export function Erasing({ answer, ...rooms }: Rooms & { answer: Answer<ErasuresAnswer> | null }) {
  const people = usePeople(rooms)
  if (answer === null) return <p role="status">Asking the workshop what is ordered.</p>
  if (!answer.ok) {
    return (
      <>
        <PageHead>Erasing</PageHead>
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
      <PageHead>{waiting.length === 0 ? 'Nothing waits to be erased' : 'What is ordered erased'}</PageHead>
      {waiting.length === 0 && (
        <p class="d-text">An erasure is ordered on the page of a job, or of a person under People.</p>
      )}
      {listed(waiting)}
      <h2 class="phase-head">The rule</h2>
      <p class="d-text">
        After {ruleWords(rule)}. One order is never split. A second owner, who has been here that long, or{' '}
        <code>twoturns erase now</code> at the workshop’s computer need not wait.
      </p>
      {coming.map((each) => (
        <ComingRule key={each.rule} {...rooms} coming={each} />
      ))}
      <ChangeRule {...rooms} rule={rule} />
      {settled.length > 0 && <h2 class="phase-head">Before</h2>}
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
        Ordered {timeWords(row.at)} by{' '}
        {name ?? (row.person === 'console' ? 'the workshop’s computer' : 'a person whose name is not here')}
        {row.person === 'console' ? '' : `, device ${deviceName(row.device)}`}
      </p>
      <ul class="plain-list">
        {row.jobs.map((job) => (
          <li key={job}>
            <a class="beside-job" href={`#/desk/jobs/${job}`}>
              Open the job
            </a>
          </li>
        ))}
      </ul>
      {isOpen && word === null && (
        <p class="step-acts">
          <button type="button" class="text-key text-key-main" onClick={() => setWord('erasure.withdrawn')}>
            Withdraw it
          </button>
          {row.may_hasten && (
            <button type="button" class="text-key" onClick={() => setWord('erasure.hastened')}>
              Erase it now
            </button>
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
      {isNow && (
        <p class="d-text">There is no way back: the bytes go now, and with the next backup there, too.</p>
      )}
      <Ask
        draft={`${order} ${word}`}
        label={
          isNow
            ? 'Why it cannot wait. It stays in the ledger: no names'
            : 'Why it is withdrawn. It stays in the ledger: no names'
        }
        submit={isNow ? 'Erase it now' : 'Withdraw it'}
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
          From {dayWords(coming.begins.slice(0, 10))} on: after {ruleWords(coming)}.
        </b>
      </p>
      {rooms.store.writer.value && !isOpen && (
        <button type="button" class="text-key" onClick={() => setOpen(true)}>
          Withdraw this change
        </button>
      )}
      {isOpen && (
        <WordForm {...rooms} order={coming.rule} word="erasure.withdrawn" leave={() => setOpen(false)} />
      )}
    </>
  )
}

function ChangeRule({ rule, ...rooms }: Rooms & { rule: RuleRow }) {
  const { write } = useWriting(rooms, null)
  const [isOpen, setOpen] = useState(false)
  const [draft, setDraft] = useState<RuleDraft>({
    days: String(rule.delay_days),
    most: String(rule.blobs_a_day),
  })
  const [faults, setFaults] = useState<Faults<RuleDraft>>({})
  if (!rooms.store.writer.value) return null
  if (!isOpen) {
    return (
      <button type="button" class="text-key under-list" onClick={() => setOpen(true)}>
        Change the rule
      </button>
    )
  }
  const act = () => {
    const checked = checkRule(draft)
    setFaults(checked.ok ? {} : checked.faults)
    return checked.ok
      ? write(async (w) => void (await w.entry('erasure.ruled', checked.body))).then(() => setOpen(false))
      : null
  }
  return (
    <DeskForm title="Change the rule" submit="State the new rule" act={act} leave={() => setOpen(false)}>
      <p class="d-text">
        It holds after {rule.delay_days === 1 ? 'a day' : `${rule.delay_days} days`}, as an order would; until
        then any owner withdraws it.
      </p>
      <Field
        label="Days until it is erased"
        value={draft.days}
        onValue={(days) => setDraft({ ...draft, days })}
        fault={faults.days}
      />
      <Field
        label="Values and photos a day, at most"
        value={draft.most}
        onValue={(most) => setDraft({ ...draft, most })}
        fault={faults.most}
      />
    </DeskForm>
  )
}
