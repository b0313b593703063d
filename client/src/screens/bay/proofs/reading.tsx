/** A figure that was read off a gauge: typed on our own pad, then seen against its window before it is kept. */
import { useState } from 'preact/hooks'
import { PlainKey, MissingKey, SideKey } from '../../../parts/keys'
import { EntryLine, NumberPad } from '../../../parts/pad'
import { Scale } from '../../../parts/scale'
import { Frame } from '../frame'
import { decimalOf, judge, outsideWords, windowWords, withUnit } from '../../../work/limits'
import { shake } from '../vibrate'
import { BesideWords } from './figure-beside'
import { NotSo } from './frame'
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
  const value = decimalOf(typed)
  if (!looked || value === null) {
    const look = () => {
      if (value === null) return
      if (judge(value, props.proof) !== 'inside') shake()
      setLooked(true)
    }
    return <Typing {...props} typed={typed} onTyped={setTyped} look={look} />
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

function Typing(props: ReadingProps & { typed: string; onTyped: (typed: string) => void; look: () => void }) {
  const { proof, typed } = props
  const value = decimalOf(typed)
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
          <ProofKey of={props} label={withUnit(value, unit)} onGiven={() => keep(props, value)} />
        ) : (
          <PlainKey label={withUnit(value, unit)} note={t(words.lookAtIt)} onPress={props.look} />
        )
      }
    >
      <form
        class="rows-tight"
        onSubmit={(event) => {
          event.preventDefault()
          props.look()
        }}
      >
        <EntryLine
          id="figure"
          label={
            proof.kind === 'count'
              ? t(words.countThenType)
              : t(words.windowAndTool, {
                  window: windowWords(proof),
                  hasTool: Boolean(props.tool),
                  tool: props.tool ?? '',
                })
          }
          value={typed}
          onValue={props.onTyped}
        />
      </form>
      <NumberPad
        value={typed}
        onValue={props.onTyped}
        decimal={proof.kind !== 'count'}
        sign={proof.low?.startsWith('-') ?? false}
      />
    </Frame>
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
      main={<ProofKey of={props} label={withUnit(value, unit)} onGiven={() => keep(props, value)} />}
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
