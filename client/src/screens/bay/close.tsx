/** The end of a job: what is missing for the good one, and the other ends with their reason. */
import { useState } from 'preact/hooks'
import { Choice } from '../../parts/choice'
import { HoldKey, MissingKey, PlainKey, SideKey } from '../../parts/keys'
import { Sign } from '../../parts/signs'
import type { Store } from '../../store'
import { isTakingOver, newBuild, takeOver } from '../../update'
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
import { isDoneSince } from '../../work/agreed-since'
import { endsOf } from '../../work/closing'
import { closeJob } from '../../work/write'
import type { InJob } from './in-job'
import { goBay } from './nav'
import * as says from '../../words/en/bay/close'
import { t } from '../../words/message'

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

export function Close({ now, act, framed, store, job, to, onward }: InJob) {
  const ends = endsOf(now)
  const open = ends.filter(({ missing }) => missing.length === 0)
  const [chosen, setChosen] = useState<string | null>(open[0]?.id ?? null)
  // What was found is the likeliest reason, and typing in gloves is slow.
  const [typed, setTyped, forget, since] = useDraft(['close', job], now.lastFailure?.says ?? '')
  const end = open.find(({ id }) => id === chosen)
  const because = asWords(typed)
  const close = ({ id, because: asks }: EndNow) =>
    act.run(() => closeJob(store, job, id, asks ? because : ''), t(says.jobIsClosed), onward, forget)
  return (
    <Frame
      {...framed}
      title={end?.name ?? (open.length > 0 ? t(says.howEnded) : t(says.noEndOpen))}
      side={<BackKey back={() => to('order')} />}
      main={
        isTakingOver.value ? (
          <MissingKey label={t(says.takingOver)} />
        ) : isUnread(now) && newBuild.value ? (
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
            onHeld={() => close(end)}
          />
        )
      }
    >
      <Recalled now={now} again={(step) => to('reopen', step)} />
      <LeftOpen now={now} />
      {isDoneSince(now) && (
        <ul class="rows">
          <RowKey onPress={() => to('found', 'since')} note={t(says.needsItsWord)}>
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
      {end && !end.because && <Facts facts={closedFacts(now, workshopOf(store), end.id)} />}
      <NotOpen ends={ends.filter(({ missing }) => missing.length > 0)} />
    </Frame>
  )
}

const isUnread = ({ state }: JobNow) => state.exceptions.some(({ code }) => code === 'unread')

const workshopOf = (store: Store) => store.device.value?.workshop ?? ''

/** A closed job: what it came to, its papers, and on to its steps with what was given in each. */
export function Closed({ end, now, head, store, to }: InJob & { end: string }) {
  return (
    <Frame
      head={head}
      title={t(says.closedAs, { name: now.bundle.ends.find(({ id }) => id === end)?.name ?? end })}
      side={<SideKey icon="lines" label={t(says.allJobs)} onPress={() => goBay()} />}
      main={<PlainKey label={t(says.readIt)} note={t(says.ownerLooks)} onPress={() => to('order')} />}
    >
      <Recalled now={now} />
      <ul class="rows">
        <RowKey onPress={() => go(paperPath(now.row.job))} note={t(says.papersNote)}>
          <b>{t(says.papers)}</b>
        </RowKey>
      </ul>
      <Facts facts={closedFacts(now, workshopOf(store), end)} />
    </Frame>
  )
}
