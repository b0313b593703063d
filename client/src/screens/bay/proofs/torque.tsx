/** A fastener brought to torque: the figure to be read from two metres, the wrench at its setting, the angle after it. */
import { HoldKey, MissingKey, SideKey } from '../../../parts/keys'
import { Barrel, HeadAndSeat } from '../../../parts/wrench'
import { Seal } from '../../../parts/seal'
import type { Trouble } from '../../../store'
import { RowKey } from '../rows'
import { Frame } from '../frame'
import { adaptorWords, type Corrected, type Fitted } from '../../../work/adaptors'
import { checkedWords, goodWords, type Wrench } from '../../../work/wrenches'
import { doneWords, type ProofProps } from './props'
import './proofs.css'

/** An adaptor that is on the wrench, and what is set because of it. */
export type Through = Fitted & Corrected

export interface TorqueProps extends ProofProps {
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
  if (!wrench) return <p class="torque-wrench stop-words">no wrench fits</p>
  return (
    <p class="torque-wrench">
      wrench <b>{wrench.tool}</b>
      <br />
      good to
      <br />
      {goodWords(wrench)}
    </p>
  )
}

export function Sequence({ bolts }: { bolts: readonly string[] }) {
  if (bolts.length === 0) return null
  return (
    <ol class="sequence" aria-label="Order of the bolts">
      {bolts.map((bolt) => (
        <li>
          <Seal state="todo" size={24} />
          {bolt}
        </li>
      ))}
    </ol>
  )
}

/** With an adaptor the figure is what is set; what the fastener gets stands under it. */
function Setting({ nm, through, wrench }: TorqueProps) {
  const set = through?.setting ?? nm
  return (
    <>
      <div class="torque">
        <p class={set.length > 3 ? 'torque-figure torque-figure-long' : 'torque-figure'}>
          {set} <small>N·m</small>
        </p>
        <WrenchWords wrench={wrench} />
      </div>
      {through && (
        <p class="through">
          The fastener gets <b>{through.fastener} N·m</b> through {adaptorWords(through.adaptor)}.
        </p>
      )}
      <div class="bleed-right">
        <Barrel nm={set} />
      </div>
    </>
  )
}

function AdaptorRow({ through, toAdaptor, withoutAdaptor }: TorqueProps) {
  if (through) {
    return (
      <ul class="rows">
        <RowKey onPress={withoutAdaptor} note="the wrench sits on the fastener itself">
          Take the adaptor off
        </RowKey>
      </ul>
    )
  }
  if (!toAdaptor) return null
  return (
    <ul class="rows">
      <RowKey onPress={toAdaptor} note="then another figure is set">
        With an adaptor
      </RowKey>
    </ul>
  )
}

function ClickedKey(props: TorqueProps & { note: string }) {
  const { nm, through, wrench } = props
  const set = through?.setting ?? nm
  if (!wrench)
    return (
      <MissingKey
        label="A wrench first"
        note={through ? `that reaches ${set} N·m` : 'that is in date and in range'}
      />
    )
  const keep = () =>
    props.keep({
      kind: 'figure',
      value: through?.fastener ?? nm,
      tool: wrench.tool,
      ...(through ? { adaptor: through.adaptor } : {}),
    })
  return <HoldKey label={`Clicked at ${set}`} note={props.note} onHeld={keep} done={doneWords(props)} />
}

export function TorqueScreen(props: TorqueProps) {
  const { proof, step } = props
  const isOneOfSeveral = step.proof.filter(({ tool }) => tool === proof.tool).length > 1
  // An angle that is a proof of its own comes on a screen of its own, after all bolts have clicked.
  const angle = step.proof.some(({ unit }) => unit === '°') ? undefined : step.torque?.angle_deg
  const note = angle === undefined ? 'hold to paint' : `and turned ${angle}°`
  return (
    <Frame
      head={props.head}
      title={isOneOfSeveral ? proof.label : step.title}
      trouble={props.unfit ?? props.trouble}
      deck={
        <>
          <SideKey icon="wrench" label="other wrench" onPress={props.otherWrench} />
          <ClickedKey {...props} note={note} />
        </>
      }
    >
      <Setting {...props} />
      <Sequence bolts={step.torque?.sequence ?? []} />
      {angle !== undefined && <Angle deg={angle} words="then turn on by" />}
      {angle === undefined && step.says.map((sentence) => <p>{sentence}</p>)}
      {proof.hint !== undefined && <p>{proof.hint}</p>}
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
        <p>One pull. Stop when the two marks make one line.</p>
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
      deck={
        <>
          {props.fail ? (
            <SideKey icon="not" label="it is not like that" onPress={props.fail} />
          ) : (
            <SideKey icon="back" label="back" onPress={props.back} />
          )}
          <HoldKey
            label={`Turned by ${deg}°`}
            onHeld={() => props.keep({ kind: 'figure', value: deg })}
            done={doneWords(props)}
          />
        </>
      }
    >
      <Angle deg={deg} words={proof.label} />
      <Sequence bolts={step.torque?.sequence ?? []} />
      {proof.hint !== undefined && <p>{proof.hint}</p>}
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
      title={fit.length ? 'Which tool is in the hand?' : 'No tool of this kind fits'}
      deck={
        <>
          <SideKey icon="back" label="back" onPress={back} />
          {fit[0] ? (
            <MissingKey label="Choose above" note={`${fit.length} can be used`} />
          ) : (
            <MissingKey label="A tool first" note="ask the owner" />
          )}
        </>
      }
    >
      <ul class="rows">
        {fit.map((wrench) => (
          <li>
            <button type="button" class="row-key" onClick={() => take(wrench.tool)}>
              <span class="row-words">
                <b>{wrench.tool}</b> {wrench.label}, {wrench.range}
                <small>
                  {checkedWords(wrench)}, good to {goodWords(wrench)}
                </small>
              </span>
            </button>
          </li>
        ))}
      </ul>
      {rest.length > 0 && (
        <ul class="given" aria-label="Not for this">
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
