/** A fastener brought to torque: the figure to be read from two metres, the wrench at its setting, the angle after it. */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import { HoldKey, MissingKey, SideKey } from '../../../parts/keys'
import { Barrel, HeadAndSeat } from '../../../parts/wrench'
import type { Trouble } from '../../../store'
import { RowKey } from '../rows'
import { Frame } from '../frame'
import { Bolts } from './bolts'
import { ChoiceRows, NotYetKey } from './choosing'
import { flipped } from './counted-things'
import { Sequence } from './sequence'
import { capital } from '../../../work/letters'
import { marksOf } from '../../../work/step-tools'
import type { Given } from '../../../work/write'
import { adaptorWords, type Corrected, type Fitted } from '../../../work/adaptors'
import { checkedWords, goodWords, type Wrench } from '../../../work/wrenches'
import { NotSo } from './frame'
import type { ProofProps } from './props'
import { ProofKey } from './proof-key'
import { OtherWay } from './other-way'
import { SealedWith } from './sealed-with'
import './proofs.css'
import * as says from '../../../words/en/bay/proofs/torque'
import { pieces, t } from '../../../words/message'
import { BackKey } from '../act-keys'

/** An adaptor that is on the wrench, and what is set because of it. */
export type Through = Fitted & Corrected

interface TorqueProps extends ProofProps {
  /** What the fastener is to get, N·m. */
  nm: string
  /** The wrench in the hand; null where none may be used. */
  wrench: Wrench | null
  /** Why the wrench that was chosen may not be used at what it would be set to; null when it may. */
  unfit: Trouble | null
  through: Through | null
  otherWrench: () => void
  /** To the adaptor's lengths; null where the workshop has no wrench at all. */
  toAdaptor: (() => void) | null
  /** Takes it off again. */
  withoutAdaptor: () => void
}

function WrenchWords({ wrench }: { wrench: Wrench | null }) {
  if (!wrench) return <p class="torque-wrench stop-words">{t(says.noWrenchFits)}</p>
  return (
    <p class="torque-wrench">
      {pieces(says.wrench, { tool: <b>{wrench.tool}</b> })}
      <br />
      {t(says.goodTo)}
      <br />
      {goodWords(wrench)}
    </p>
  )
}

/** With an adaptor the figure is what is set; what the fastener gets stands under it. */
function Setting({ nm, through, wrench }: TorqueProps) {
  const set = through?.setting ?? nm
  return (
    <>
      <div class="torque">
        <p class={set.length > 3 ? 'torque-figure torque-figure-long' : 'torque-figure'}>
          {set} <small>{t(says.newtonMetres)}</small>
        </p>
        <WrenchWords wrench={wrench} />
      </div>
      {through && (
        <p class="through">
          {pieces(says.throughAdaptor, {
            fastener: <b>{t(says.atFastener, { fastener: through.fastener })}</b>,
            adaptor: adaptorWords(through.adaptor),
          })}
        </p>
      )}
      <div class="bleed-right">
        <Barrel nm={set} />
      </div>
    </>
  )
}

function AdaptorRow({ through, toAdaptor, withoutAdaptor }: TorqueProps) {
  const onPress = through ? withoutAdaptor : toAdaptor
  if (!onPress) return null
  return (
    <ul class="rows">
      <RowKey onPress={onPress} note={t(through ? says.takeAdaptorOffHint : says.withAdaptorHint)}>
        {t(through ? says.takeAdaptorOff : says.withAnAdaptor)}
      </RowKey>
    </ul>
  )
}

/** What is given beside the torque. */
interface Also {
  asks: ComponentChildren
  /** The key until it is given; null once it is. */
  missing: ComponentChildren
  said: string
  /** Marks say that all have clicked. */
  isMarked?: boolean
}

function useBolts({ also, step, proof, paints }: TorqueProps): Also {
  const [marked, setMarked] = useState<ReadonlySet<number>>(new Set())
  const sequence = step.torque?.sequence ?? []
  const counted = marksOf(step, proof, also ?? null, paints)
  if (!counted) return { asks: <Sequence bolts={sequence} />, missing: null, said: '' }
  const target = counted.target ?? ''
  const left = Number(target) - marked.size
  const asks = (
    <Bolts
      counted={counted}
      sequence={sequence}
      marked={marked}
      onMark={(at) => setMarked(flipped(marked, at))}
    />
  )
  const missing = left > 0 && <MissingKey label={t(says.boltsLeft, { left })} note={t(says.markEach)} />
  return { asks, missing: missing || null, said: target, isMarked: true }
}

/** @param bolts what stands there of them, whatever is chosen */
function useChoiceBeside({ also, fail }: TorqueProps, bolts: Also): Also {
  const [chosen, choose] = useState<string | null>(null)
  if (also?.kind !== 'choice') return bolts
  const option = also.options?.find(({ id }) => id === chosen)
  const asks = (
    <>
      {bolts.asks}
      <section class="chooses">
        <h2>{capital(also.label)}</h2>
        <ChoiceRows proof={also} option={option} choose={choose} />
      </section>
    </>
  )
  return { asks, missing: option?.ok ? null : <NotYetKey option={option} fail={fail} />, said: chosen ?? '' }
}

function ClickedKey({ note, also, ...props }: Omit<TorqueProps, 'also'> & { note?: string; also: Also }) {
  const { nm, through, wrench } = props
  const set = through?.setting ?? nm
  if (!wrench)
    return (
      <MissingKey
        label={t(says.wrenchFirst)}
        note={through ? t(says.wrenchReach, { set }) : t(says.toolInDate)}
      />
    )
  if (also.missing) return <>{also.missing}</>
  const given: Given = {
    kind: 'figure',
    value: through?.fastener ?? nm,
    tool: wrench.tool,
    ...(through ? { adaptor: through.adaptor } : {}),
  }
  const keep = props.keep(given, also.said)
  const key = { label: t(says.clickedAt, { set }), ...(note === undefined ? {} : { note }) }
  return also.isMarked ? <ProofKey of={props} {...key} onGiven={keep} /> : <HoldKey {...key} onHeld={keep} />
}

export function TorqueScreen(props: TorqueProps) {
  const { proof, step } = props
  const isOneOfSeveral = step.proof.filter(({ tool }) => tool === proof.tool).length > 1
  // An angle that is a proof of its own comes on a screen of its own, after all bolts have clicked.
  const angle = step.proof.some(({ unit }) => unit === '°') ? undefined : step.torque?.angle_deg
  const note = angle === undefined ? {} : { note: t(says.andTurned, { angle }) }
  const also = useChoiceBeside(props, useBolts(props))
  return (
    <Frame
      head={props.head}
      title={isOneOfSeveral ? proof.label : step.title}
      trouble={props.unfit ?? props.trouble}
      side={<SideKey icon="wrench" label={t(says.otherWrench)} onPress={props.otherWrench} />}
      main={<ClickedKey {...props} {...note} also={also} />}
    >
      <Setting {...props} />
      {also.asks}
      {angle !== undefined && <Angle deg={angle} words={t(says.thenTurnOnBy)} />}
      {angle === undefined && step.says.map((sentence) => <p>{sentence}</p>)}
      {proof.hint !== undefined && <p>{proof.hint}</p>}
      <SealedWith {...props} />
      <AdaptorRow {...props} />
    </Frame>
  )
}

function Angle({ deg, words }: { deg: string; words: string }) {
  return (
    <div class="angle">
      <div>
        <p>{words}</p>
        <p class="torque-figure">{deg}°</p>
        <p>{t(says.onePull)}</p>
      </div>
      <HeadAndSeat deg={deg} />
    </div>
  )
}

/** The angle after the torque, as a proof of its own. */
export function AngleScreen(props: ProofProps & { deg: string }) {
  const { deg, proof, step } = props
  return (
    <Frame
      head={props.head}
      title={step.title}
      trouble={props.trouble}
      side={<NotSo {...props} />}
      main={<HoldKey label={t(says.turnedBy, { deg })} onHeld={props.keep({ kind: 'figure', value: deg })} />}
    >
      <Angle deg={deg} words={proof.label} />
      <Sequence bolts={step.torque?.sequence ?? []} />
      {proof.hint !== undefined && <p>{proof.hint}</p>}
      <OtherWay next={props.instead ?? null} />
      <SealedWith {...props} />
    </Frame>
  )
}

/** Which wrench: those that fit can be taken, the others say why not. */
export function WrenchChoice({
  head,
  wrenches,
  take,
  back,
}: {
  head: ProofProps['head']
  wrenches: readonly Wrench[]
  take: (tool: string) => void
  back: () => void
}) {
  const fit = wrenches.filter((wrench) => wrench.fit)
  const rest = wrenches.filter((wrench) => !wrench.fit)
  return (
    <Frame
      head={head}
      title={fit.length ? t(says.whichTool) : t(says.noToolFits)}
      side={<BackKey back={back} />}
      main={
        fit[0] ? (
          <MissingKey label={t(says.chooseAbove)} note={t(says.canBeUsed, { fit: fit.length })} />
        ) : (
          <MissingKey label={t(says.toolFirst)} note={t(says.askTheOwner)} />
        )
      }
    >
      <ul class="rows">
        {fit.map((wrench) => (
          <li>
            <button type="button" class="row-key" onClick={() => take(wrench.tool)}>
              <span class="row-words">
                <b>{wrench.tool}</b> {wrench.label}, {wrench.range}
                <small>
                  {t(says.checkedGoodTo, { checked: checkedWords(wrench), good: goodWords(wrench) })}
                </small>
              </span>
            </button>
          </li>
        ))}
      </ul>
      {rest.length > 0 && (
        <ul class="given" aria-label={t(says.notForThis)}>
          {rest.map((wrench) => (
            <li>
              <span>
                <b>{wrench.tool}</b>: {wrench.because}
              </span>
            </li>
          ))}
        </ul>
      )}
    </Frame>
  )
}
