/** A choice: what is seen, out of a few rows of which some do not let the step be painted. */
import { useState } from 'preact/hooks'
import { Choice } from '../../../parts/choice'
import { HoldKey, MissingKey, PlainKey } from '../../../parts/keys'
import { ProofFrame } from './frame'
import { doneWords, type ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/choice'
import { t } from '../../../words/message'

/** What fits the main key in two lines; a longer one stands in its row only. */
const LONG = 24

export function ChoiceScreen(props: ProofProps) {
  const { proof } = props
  const [chosen, setChosen] = useState<string | null>(null)
  const option = proof.options?.find(({ id }) => id === chosen)
  const main = !option ? (
    <MissingKey label={t(words.chooseAbove)} />
  ) : option.ok ? (
    <HoldKey
      label={option.says.length > LONG ? t(words.itIsSo) : option.says}
      onHeld={() => props.keep({ kind: 'figure', value: option.id })}
      done={doneWords(props)}
    />
  ) : props.fail ? (
    <PlainKey label={t(words.whatToDoThen)} note={t(words.notLikeThat)} onPress={props.fail} />
  ) : (
    <MissingKey label={t(words.notWithThis)} />
  )
  return (
    <ProofFrame of={props} side="not" main={main}>
      <Choice label={proof.label} rows={proof.options ?? []} chosen={chosen} onChoose={setChosen} />
      {option?.ok === false && <p class="stop-words">{t(words.notWithThisHint)}</p>}
    </ProofFrame>
  )
}
