/** One job on the owner's desk: what needs eyes, the belt, every step; ask, accept a gap, approve. */
import type { JobNotice } from '../../ledger/answers'
import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import { HoldKey } from '../../parts/keys'
import { gapHelps } from '../../procedure/plan'
import type { Trouble } from '../../store'
import type { Rooms } from '../rooms'
import { JobPage } from '../record/job'
import type { JobRecord, StepRecord } from '../../work/record'
import { unsettled, type RecallInJob } from '../../work/recalls'
import { ANSWERED } from '../../work/settled'
import { missingForApproval } from '../../work/approval'
import { askingAbout } from './ask-photo'
import { FormKey } from '../office/form-key'
import { Ask } from '../office/write-words'
import { actsOnFound } from './found-acts'
import { Appointment } from './appointment'
import { NoteFinding } from './note-finding'
import { Erase } from './erase-form'
import { erasableOf } from './erasing'
import { TroubleLine } from '../office/shell'
import { useWriting, type Write } from './use-writing'
import * as papers from '../../words/en/paper/index'
import * as says from '../../words/en/desk/review'
import { namesOf, t } from '../../words/message'

export function Review({ job, ...rooms }: Rooms & { job: string }) {
  const { write, trouble } = useWriting(rooms, job)
  return (
    <JobPage
      {...rooms}
      job={job}
      under={(record) => (
        <>
          <Approval {...rooms} record={record} write={write} trouble={trouble} />
          <Appointment {...rooms} record={record} write={write} />
          <Papers job={job} />
          {rooms.store.writer.value && record.closed === null && (
            <NoteFinding record={record} write={write} />
          )}
          {rooms.store.writer.value &&
            unsettled(record.recalled).map((found) => (
              <TakeOver key={found.recall.entry} record={record} found={found} write={write} />
            ))}
        </>
      )}
      last={(record, isWhole) => (
        <section>
          <h2 class="phase-head">{t(says.erasing)}</h2>
          {isWhole ? (
            <Erase {...rooms} of={t(says.ofThisJob)} {...erasableOf(record.held)} />
          ) : (
            <p class="d-text">{t(says.eraseWhole)}</p>
          )}
        </section>
      )}
      photoActs={askingAbout(rooms)}
      noticeActs={(record) => (notice) =>
        rooms.store.writer.value && <Settle record={record} notice={notice} write={write} />
      }
      answerActs={() =>
        rooms.store.writer.value && (
          <p class="step-acts">
            <button
              type="button"
              class="text-key"
              onClick={() => void haveRead(write).catch(() => undefined)}
            >
              {t(says.haveReadIt)}
            </button>
          </p>
        )
      }
      {...(rooms.store.writer.value ? { foundActs: actsOnFound(rooms, write) } : {})}
      acts={(record) => (step) => (
        <StepActs record={record} step={step} write={write} canWrite={rooms.store.writer.value} />
      )}
    />
  )
}

function Approval({
  record,
  write,
  store,
  trouble,
}: Rooms & { record: JobRecord; write: Write; trouble: Trouble | null }) {
  const missing = missingForApproval(record)
  if (record.state.approved === 'approved') return <p class="d-text approval">{t(says.isApproved)}</p>
  if (missing.length > 0)
    return <p class="d-text approval">{t(says.notYet, { missing: missing.join(' ') })}</p>
  if (store.beside.value) return <p class="d-text approval">{t(says.otherWindow)}</p>
  const approve = () => write(async (w) => void (await w.entry('review.approved', {})))
  return (
    <>
      <div class="approve">
        {record.withdrawal && (
          <p class="d-text">
            {t(says.procedureWithdrawn, { because: record.withdrawal.because.replace(/\.$/, '') })}
          </p>
        )}
        {record.state.approved === 'changed' && <p class="d-text">{t(says.changedSince)}</p>}
        <HoldKey
          key={record.held.length} // what came in meanwhile was not looked at
          label={t(says.approveThisJob)}
          done={t(says.approved)}
          onHeld={approve}
        />
      </div>
      <TroubleLine trouble={trouble} />
    </>
  )
}

/** The owner's word that a recalled part stays in this engine, for the parts that are in it now. */
function TakeOver({
  record,
  found: { recall, standing },
  write,
}: {
  record: JobRecord
  found: RecallInJob
  write: Write
}) {
  const parts = standing.map(({ entry }) => entry)
  const takeOver = (because: string) =>
    write(async (w) => {
      const why = await w.secret('words', because)
      await w.entry('recall.borne', { recall: recall.entry, parts, because: why })
    })
  return (
    <FormKey label={t(says.takeOverLot, { lot: recall.lot })}>
      {(leave) => (
        <Ask
          draft={`${record.row.job} ${recall.entry}`}
          label={t(says.whyTakenOver, { lot: recall.lot })}
          send={(text) => takeOver(text).then(leave)}
          leave={leave}
          submit={t(says.takeItOver)}
        />
      )}
    </FormKey>
  )
}

const PAPERS = namesOf(papers.names)

/** What leaves with the vehicle, and what the invoice is written by. */
function Papers({ job }: { job: string }) {
  return (
    <nav aria-label={t(says.papers)}>
      <h2 class="phase-head">{t(says.papers)}</h2>
      <ul class="papers">
        {PAPERS.map(({ id, name }) => (
          <li key={id}>
            <a href={`#/paper/${job}/${id}`}>{name}</a>
          </li>
        ))}
      </ul>
    </nav>
  )
}

/** The answers were read: they need not stand at the desk any more. */
const haveRead = (write: Write): Promise<void> =>
  write(async (w) => {
    const because = await w.secret('words', t(says.wasRead))
    await w.entry('notice.settled', { notice: ANSWERED, because })
  })

/** The owner's word that a notice need not be said any more, and why. */
function Settle({ record, notice, write }: { record: JobRecord; notice: JobNotice; write: Write }) {
  const label = (
    <>
      {t(says.settleIt)}
      <span class="unseen">, {notice.message}</span>
    </>
  )
  const settle = (because: string) =>
    write(async (w) => {
      const about = notice.tool === null ? {} : { about: notice.tool }
      const why = await w.secret('words', because)
      await w.entry('notice.settled', { notice: notice.code, ...about, because: why })
    })
  return (
    <FormKey stands="in-row" label={label}>
      {(leave) => (
        <Ask
          draft={`${record.row.job} ${notice.code} ${notice.tool}`}
          label={t(says.whySettled)}
          send={(text) => settle(text).then(leave)}
          leave={leave}
          submit={t(says.settleIt)}
        />
      )}
    </FormKey>
  )
}

type Form = 'ask' | 'gap'

function StepActs({
  record,
  step,
  write,
  canWrite,
}: {
  record: JobRecord
  step: StepRecord
  write: Write
  canWrite: boolean
}) {
  const [open, setOpen] = useState<Form | null>(null)
  const wasOpen = useRef(false)
  const ask = useRef<HTMLButtonElement>(null)
  useEffect(() => {
    // The form took the focus; when it goes, the key takes it back that is there in any case.
    if (open === null && wasOpen.current) ask.current?.focus()
    wasOpen.current = open !== null
  }, [open])
  const isTodo = step.step.must && (step.seal === 'todo' || step.seal === 'broken')
  const end = record.closed?.body.end
  // A gap that leaves a later step without what it asks for would only look like help.
  const helps = useMemo(
    () =>
      isTodo &&
      record.bundle.ends.some(({ id }) => id === end) &&
      gapHelps(record.machine, record.state, step.index, end),
    [record, step, isTodo, end],
  )
  if (!canWrite) return null
  const number = step.step.number || step.step.title
  const question = step.questions.find(({ settled }) => !settled)?.held.entry.id
  if (open) {
    const send = async (text: string) => {
      await write(async (w) => {
        const words = await w.secret('words', text)
        if (open === 'ask') await w.entry('review.returned', { step: step.step.id, question: words })
        else
          await w.entry('review.gap', {
            step: step.step.id,
            because: words,
            ...(question === undefined ? {} : { question }),
          })
      })
      setOpen(null)
    }
    const label = open === 'ask' ? t(says.questionAbout, { number }) : t(says.whyAccepted, { number })
    return (
      <Ask
        draft={`${record.row.job} ${step.step.id} ${open}`}
        label={label}
        send={send}
        leave={() => setOpen(null)}
        submit={open === 'ask' ? t(says.sendTheQuestion) : t(says.acceptStep)}
      />
    )
  }
  return (
    <p class="step-acts">
      <button ref={ask} type="button" class="text-key" onClick={() => setOpen('ask')}>
        {t(says.askStep)}
        <span class="unseen">, {number}</span>
      </button>
      {(helps || question !== undefined) && (
        <button type="button" class="text-key" onClick={() => setOpen('gap')}>
          {t(says.acceptStep)}
          <span class="unseen">, {number}</span>
        </button>
      )}
    </p>
  )
}
