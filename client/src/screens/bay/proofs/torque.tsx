/** A fastener brought to torque: the figure to be read from two metres, the wrench at its setting, the angle after it. */
import { HoldKey, MissingKey, SideKey } from '../../../parts/keys'
import { Barrel, HeadAndSeat } from '../../../parts/wrench'
import { Seal } from '../../../parts/seal'
import { Frame } from '../frame'
import { checkedWords, goodWords, type Wrench } from '../wrenches'
import { doneWords, type ProofProps } from './kinds'

export interface TorqueProps extends ProofProps {
  /** What the wrench is set to, N·m. */
  nm: string
  wrench: Wrench | null
  otherWrench: () => void
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

export function TorqueScreen(props: TorqueProps) {
  const { nm, wrench, proof, step } = props
  const label = `Clicked at ${nm}`
  const isOneOfSeveral = step.proof.filter(({ tool }) => tool === proof.tool).length > 1
  // An angle that is a proof of its own comes on a screen of its own, after all bolts have clicked.
  const angle = step.proof.some(({ unit }) => unit === '°') ? undefined : step.torque?.angle_deg
  const note = angle === undefined ? 'hold to paint' : `and turned ${angle}°`
  return (
    <Frame
      head={props.head}
      title={isOneOfSeveral ? proof.label : step.title}
      trouble={props.trouble}
      deck={
        <>
          <SideKey icon="wrench" label="other wrench" onPress={props.otherWrench} />
          {wrench ? (
            <HoldKey label={label} note={note} onHeld={() => props.keep({ kind: 'figure', value: nm, tool: wrench.tool })} done={doneWords(props)} />
          ) : (
            <MissingKey label="A wrench first" note="that is in date and in range" />
          )}
        </>
      }
    >
      <div class="torque">
        <p class="torque-figure">
          {nm} <small>N·m</small>
        </p>
        <WrenchWords wrench={wrench} />
      </div>
      <div class="bleed-right">
        <Barrel nm={nm} />
      </div>
      <Sequence bolts={step.torque?.sequence ?? []} />
      {angle !== undefined && <Angle deg={angle} words="then turn on by" />}
      {angle === undefined && step.says.map((sentence) => <p>{sentence}</p>)}
      {proof.hint !== undefined && <p>{proof.hint}</p>}
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
          {props.fail ? <SideKey icon="not" label="it is not like that" onPress={props.fail} /> : <SideKey icon="back" label="back" onPress={props.back} />}
          <HoldKey label={`Turned by ${deg}°`} onHeld={() => props.keep({ kind: 'figure', value: deg })} done={doneWords(props)} />
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
export function WrenchChoice({ head, wrenches, take, back }: { head: ProofProps['head']; wrenches: readonly Wrench[]; take: (tool: string) => void; back: () => void }) {
  const fit = wrenches.filter((wrench) => wrench.fit)
  const rest = wrenches.filter((wrench) => !wrench.fit)
  return (
    <Frame
      head={head}
      title={fit.length ? 'Which tool is in the hand?' : 'No tool of this kind fits'}
      deck={
        <>
          <SideKey icon="back" label="back" onPress={back} />
          {fit[0] ? <MissingKey label="Choose above" note={`${fit.length} can be used`} /> : <MissingKey label="A tool first" note="ask the owner" />}
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
