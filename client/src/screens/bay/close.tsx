/** The end of a job: what is missing for the good one, and the other ends with their reason. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../parts/keys'
import type { HeadProps } from '../../parts/head'
import { Sign } from '../../parts/signs'
import type { Trouble } from '../../store'
import { newBuild, takeOver } from '../../update'
import { BackKey } from './act-keys'
import { useDraft } from './drafts'
import { Facts } from './facts'
import { Words, asWords } from './free-words'
import type { EndNow } from '../../work/closing'
import { LeftOpen } from './found-here'
import { Frame } from './frame'
import type { JobNow } from '../../work/job'
import { closedFacts } from '../../work/closed-facts'
import { paperPath } from '../paper/address'
import { go } from '../route'
import { Recalled } from './recalled'
import { RowKey } from './rows'
import { agreedSince } from '../../work/agreed-since'
import { endsOf } from '../../work/closing'
import { closeJob } from '../../work/write'
import type { InJob } from './in-job'
import * as says from '../../words/en/bay/close'
import { t } from '../../words/message'

interface CloseProps {
  head: HeadProps
  trouble: Trouble | null
  now: JobNow
  workshop: string
  ends: readonly EndNow[]
  /** To the word on what was agreed since the driver signed; null where nothing was. */
  toWord: (() => void) | null
  again: (step: string) => void
  /** @param tidy once it is kept */
  close: (end: string, because: string, tidy: () => void) => Promise<void>
  back: () => void
}

/** What keeps a job from the ends that are not open, behind one row each. */
function NotOpen({ ends }: { ends: readonly EndNow[] }) {
  return ends.map(({ id, name, missing }) => (
    <details key={id} class="phase">
      <summary class="row-key">
        <span class="row-words">
          <b>{name}</b>
          <small>
            {missing.length === 1
              ? t(says.notOpenFor, { missing: missing[0]!.short })
              : t(says.notOpenForMore, { n: missing.length })}
          </small>
        </span>
      </summary>
      <ul class="given">
        {missing.map(({ words }) => (
          <li>{words}</li>
        ))}
      </ul>
    </details>
  ))
}

function CloseScreen({ head, trouble, now, workshop, ends, toWord, close, again, back }: CloseProps) {
  const open = ends.filter(({ missing }) => missing.length === 0)
  const [chosen, setChosen] = useState<string | null>(open[0]?.id ?? null)
  // What was found is the likeliest reason, and typing in gloves is slow.
  const [typed, setTyped, forget, since] = useDraft(['close', now.row.job], now.lastFailure?.says ?? '')
  const end = open.find(({ id }) => id === chosen)
  const because = asWords(typed)
  return (
    <Frame
      head={head}
      title={end?.name ?? (open.length > 0 ? t(says.howEnded) : t(says.noEndOpen))}
      trouble={trouble}
      side={<BackKey back={back} />}
      main={
        isUnread(now) && newBuild.value ? (
          <PlainKey label={t(says.takeTheNewerApp)} note={t(says.thenEndTheJob)} onPress={takeOver} />
        ) : !end ? (
          <MissingKey label={open.length > 0 ? t(says.chooseAbove) : t(says.notYet)} />
        ) : end.because && because === '' ? (
          <MissingKey label={t(says.whyFirst)} note={t(says.inWords)} />
        ) : (
          <HoldKey
            label={t(says.closeTheJob)}
            note={end.name}
            done={t(says.closed)}
            onHeld={() => close(end.id, end.because ? because : '', forget)}
          />
        )
      }
    >
      <Recalled now={now} again={again} />
      <LeftOpen now={now} />
      {toWord && (
        <ul class="rows">
          <RowKey onPress={toWord} note={t(says.needsItsWord)}>
            <b>{t(says.agreedSince)}</b>
          </RowKey>
        </ul>
      )}
      {isUnread(now) && (
        <div class="caution" role="status">
          <Sign name="warning" size={58} />
          <p>
            {newBuild.value ? <b>{t(says.updateFirst)}</b> : <b>{t(says.askFirst)}</b>} {t(says.unreadable)}
          </p>
        </div>
      )}
      {open.length > 0 && (
        <Choice
          label={t(says.howEnded)}
          rows={open.map(({ id, name }) => ({ id, says: name }))}
          chosen={chosen}
          onChoose={setChosen}
        />
      )}
      {end?.because && <Words label={t(says.whyEndSo)} value={typed} onValue={setTyped} since={since} />}
      {end && !end.because && <Facts facts={closedFacts(now, workshop, end.id)} />}
      <NotOpen ends={ends.filter(({ missing }) => missing.length > 0)} />
    </Frame>
  )
}

const isUnread = ({ state }: JobNow) => state.exceptions.some(({ code }) => code === 'unread')

export function ClosedScreen({
  head,
  now,
  workshop,
  end,
  read,
  jobs,
}: {
  head: HeadProps
  now: JobNow
  workshop: string
  end: string
  /** To its steps, with what was given in each. */
  read: () => void
  jobs: () => void
}) {
  return (
    <Frame
      head={head}
      title={t(says.closedAs, { name: now.bundle.ends.find(({ id }) => id === end)?.name ?? end })}
      side={<SideKey icon="lines" label={t(says.allJobs)} onPress={jobs} />}
      main={<PlainKey label={t(says.readIt)} note={t(says.ownerLooks)} onPress={read} />}
    >
      <Recalled now={now} />
      <ul class="rows">
        <RowKey onPress={() => go(paperPath(now.row.job))} note={t(says.papersNote)}>
          <b>{t(says.papers)}</b>
        </RowKey>
      </ul>
      <Facts facts={closedFacts(now, workshop, end)} />
    </Frame>
  )
}

export function Close({ now, act, head, store, job, to, onward }: InJob) {
  const close = (end: string, because: string, tidy: () => void) =>
    act.run(
      () => closeJob(store, job, end, because),
      t(says.jobIsClosed),
      onward,
      async () => tidy(),
    )
  return (
    <CloseScreen
      head={head}
      trouble={act.trouble}
      now={now}
      workshop={store.device.value?.workshop ?? ''}
      ends={endsOf(now)}
      toWord={agreedSince(now) ? () => to('found', 'since') : null}
      close={close}
      again={(step) => to('reopen', step)}
      back={() => to('order')}
    />
  )
}
