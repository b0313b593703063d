/** A step for which somebody must hold a permit: shown to whoever does, and handed on by whoever does not. */
import type { ComponentType } from 'preact'
import { useState } from 'preact/hooks'
import { PlainKey } from '../../parts/keys'
import type { Step } from '../../procedure/bundle'
import { permitNote } from '../../procedure/machine'
import { isoDay } from '../../work/format'
import { numberOr } from '../../work/job'
import {
  isPassed,
  lackingPermit,
  mayBePassed,
  withoutAnswers,
  type Lacking,
} from '../../work/lacking-permits'
import { permitName, permitWords } from '../../work/permits'
import { addNote } from '../../work/write'
import { namesWords, usePeople } from '../names'
import { OrderKey, RecordKey } from './act-keys'
import { CallOwner } from './call'
import { useDraft } from './drafts'
import { Frame } from './frame'
import { asWords, Words } from './free-words'
import { RowKey } from './rows'
import type { StepScreensProps } from './step-props'
import * as says from '../../words/en/bay/permitted'
import { t } from '../../words/message'

interface PermittedProps extends StepScreensProps {
  of: Step
  /** The step's own screens. */
  Show: ComponentType<StepScreensProps>
}

export function Permitted({ of: step, Show, ...props }: PermittedProps) {
  const { shared, statements, parts } = props
  const { now, store } = shared
  const person = store.device.value?.person ?? ''
  const today = isoDay(new Date())
  const lacks = (permit: string) => lackingPermit(permit, statements, person, today)
  const { permit } = step
  const asked = now.steps.find((each) => each.step === step)
  const isOpen = asked?.seal !== 'holds' && parts[1] !== 'fail'
  const lacking = permit !== undefined && isOpen ? lacks(permit) : null
  if (lacking && !isPassed(now.held, step, lacking.permit, person))
    return <NoPermit {...props} step={step} lacking={lacking} today={today} />
  const steps = now.steps.map((each) =>
    each === asked ? withoutAnswers(each, (permit) => lacks(permit) !== null) : each,
  )
  return <Show {...props} shared={{ ...shared, now: { ...now, steps } }} />
}

type NoPermitProps = StepScreensProps & { step: Step; lacking: Lacking; today: string }

function NoPermit({ shared, step, lacking, today }: NoPermitProps) {
  const { framed, act, now, store, job, to, onward } = shared
  const { permit, own, holders } = lacking
  const [isReason, setReason] = useState(false)
  const [typed, setTyped, forget, since] = useDraft(['permit', job, step.id], '')
  const people = usePeople({ store })
  const because = asWords(typed)
  const name = permitName(permit)
  const where = now.steps.find((each) => each.step === step)
  const pass = () =>
    act.run(
      () =>
        addNote(store, job, t(says.wentOn, { name, because }), { step: step.id, name: permitNote(permit) }),
      t(says.isKept),
      onward,
      forget,
    )
  return (
    <Frame
      {...framed}
      title={t(says.needed, { name })}
      side={<OrderKey to={to} />}
      main={
        isReason && because !== '' ? (
          <RecordKey label={t(says.goOn)} note={t(says.ownerSees)} onHeld={pass} />
        ) : (
          <PlainKey label={t(says.handOn)} note={t(says.toWhomHolds)} onPress={() => to('hand')} />
        )
      }
    >
      <p class="stop-words">
        {t(says.because, { number: where ? numberOr(where) : step.title, name, title: step.title })}
      </p>
      <p>{own ? t(says.own, { stands: permitWords(own, today) }) : t(says.never)}</p>
      <p>
        {holders.length > 0 ? t(says.holders, { names: namesWords(holders, people) }) : t(says.nobodyHolds)}
      </p>
      <ul class="rows">
        {mayBePassed(permit) && (
          <RowKey pressed={isReason} note={t(says.reasonNote)} onPress={() => setReason(!isReason)}>
            {t(says.withReason)}
          </RowKey>
        )}
        <CallOwner store={store} />
      </ul>
      {isReason && <Words label={t(says.why)} value={typed} onValue={setTyped} since={since} />}
    </Frame>
  )
}
