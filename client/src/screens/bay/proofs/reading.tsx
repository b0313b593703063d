/** A figure that was read off a gauge: typed on our own pad, then seen against its window before it is kept. */
import type { ComponentChildren } from 'preact'
import { useRef, useState } from 'preact/hooks'
import { around } from '../../../parts/deed'
import { PlainKey, MissingKey, SideKey } from '../../../parts/keys'
import { EntryLine, NumberPad } from '../../../parts/pad'
import { Scale } from '../../../parts/scale'
import { Frame } from '../frame'
import { dialOf } from '../../../work/dial'
import { decimalOf, hasSign, judge, outsideWords, windowWords, withUnit } from '../../../work/limits'
import { shake } from '../vibrate'
import { DialScale } from './dial'
import { BesideWords } from './figure-beside'
import { NotSo } from './frame'
import { OtherWay } from './other-way'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import { SealedWith } from './sealed-with'
import * as words from '../../../words/en/bay/proofs/reading'
import { t } from '../../../words/message'
import { BackKey } from '../act-keys'

interface ReadingProps extends ProofProps {
  /** Id of the tool it is read with, where the proof asks for one. */
  tool: string | null
  /** To the choice of another tool; null when the proof asks for none. */
  otherTool: (() => void) | null
}

const keep = ({ keep, tool }: ReadingProps, value: string) =>
  keep({ kind: 'figure', value, ...(tool === null ? {} : { tool }) })

export function ReadingScreen(props: ReadingProps) {
  const [typed, setTyped] = useState('')
  const [looked, setLooked] = useState(false)
  const [isTyping, setTyping] = useState(false)
  // What is being kept is what was read when its key was tapped: the figure stands still meanwhile.
  const isKept = useRef(false)
  const move = (figure: string) => {
    if (!isKept.current) setTyped(figure)
  }
  const keepIt: ProofProps['keep'] = (given, said) =>
    around(props.keep(given, said), (keepNow) => {
      isKept.current = true
      return keepNow().catch((error: unknown) => {
        isKept.current = false
        throw error
      })
    })
  const value = decimalOf(typed)
  if (!looked || value === null) {
    const look = () => {
      if (value === null) return
      if (judge(value, props.proof) !== 'inside') shake()
      setLooked(true)
    }
    const typeIt = () => {
      setTyped('')
      setTyping(true)
    }
    const dial = isTyping ? null : dialOf(props.proof)
    return (
      <Entry {...props} keep={keepIt} value={value} look={look}>
        {dial ? (
          <>
            <p class="dial-window">{windowAndTool(props)}</p>
            <DialScale dial={dial} of={props} value={value} onValue={move} typeIt={typeIt} />
            <OtherWay next={props.instead ?? null} />
          </>
        ) : (
          <Typing {...props} typed={typed} onTyped={move} look={look} />
        )}
      </Entry>
    )
  }
  const again = () => {
    setTyped('')
    setLooked(false)
  }
  return judge(value, props.proof) === 'inside' ? (
    <Inside {...props} value={value} again={again} />
  ) : (
    <Outside {...props} value={value} again={again} />
  )
}

type Looking = ReadingProps & { look: () => void }

/** A figure that is being moved or typed, and the key that keeps it or has it looked at. */
function Entry(props: Looking & { value: string | null; children: ComponentChildren }) {
  const { proof, value } = props
  const unit = proof.unit ?? ''
  // Inside its window, and nothing to hold it against: there is nothing to look at on a screen of its own.
  const isPlain = value !== null && judge(value, proof) === 'inside' && !props.against
  return (
    <Frame
      title={proof.label}
      trouble={props.trouble}
      side={<BackKey back={props.back} />}
      main={
        value === null ? (
          <MissingKey
            label={t(words.noFigureYet)}
            note={proof.kind === 'count' ? t(words.countFirst) : windowWords(proof)}
          />
        ) : isPlain ? (
          <ProofKey of={props} label={withUnit(value, unit)} onGiven={keep(props, value)} />
        ) : (
          <PlainKey label={withUnit(value, unit)} note={t(words.lookAtIt)} onPress={props.look} />
        )
      }
    >
      {props.children}
      <SealedWith {...props} />
    </Frame>
  )
}

/** What is looked for, and with what. */
const windowAndTool = ({ proof, tool }: ReadingProps) =>
  proof.kind === 'count'
    ? t(words.countThenType)
    : t(words.windowAndTool, { window: windowWords(proof), hasTool: Boolean(tool), tool: tool ?? '' })

function Typing(props: Looking & { typed: string; onTyped: (typed: string) => void }) {
  const { proof, typed } = props
  return (
    <>
      <form
        class="rows-tight"
        onSubmit={(event) => {
          event.preventDefault()
          props.look()
        }}
      >
        <EntryLine id="figure" label={windowAndTool(props)} value={typed} onValue={props.onTyped} />
      </form>
      <NumberPad
        value={typed}
        onValue={props.onTyped}
        decimal={proof.kind !== 'count'}
        sign={hasSign(proof)}
      />
    </>
  )
}

function Inside(props: ReadingProps & { value: string; again: () => void }) {
  const { proof, value, tool } = props
  const unit = proof.unit ?? ''
  return (
    <Frame
      head={props.head}
      title={proof.label}
      trouble={props.trouble}
      side={<SideKey icon="again" label={t(words.again)} onPress={props.again} />}
      main={<ProofKey of={props} label={withUnit(value, unit)} onGiven={keep(props, value)} />}
    >
      <p class="figure">
        {value} <small>{unit}</small>
      </p>
      <p>{t(words.inTheWindow, { hasTool: tool !== null, tool: tool ?? '' })}</p>
      <Scale {...proof} unit={unit} readings={[value]} />
      <BesideWords {...props} />
      {proof.hint !== undefined && <p class="soft">{proof.hint}</p>}
      <SealedWith {...props} />
    </Frame>
  )
}

function Outside(props: ReadingProps & { value: string; again: () => void }) {
  const { proof, value } = props
  return (
    <Frame
      head={props.head}
      title={outsideWords(value, proof)}
      trouble={props.trouble}
      side={<NotSo {...props} />}
      main={<PlainKey label={t(words.measureAgain)} note={windowWords(proof)} onPress={props.again} />}
    >
      <p class="figure">
        {value} <small>{proof.unit}</small>
      </p>
      <Scale {...proof} unit={proof.unit ?? ''} readings={[value]} />
      <BesideWords {...props} />
      <p class="stop-words">{t(words.notSigned)}</p>
      <p>{t(words.notSignedHint, { fail: props.fail !== null })}</p>
      {proof.hint !== undefined && <p class="soft">{proof.hint}</p>}
    </Frame>
  )
}
