/** A choice: what is seen, out of a few rows of which some do not let the step be painted. */
import { useState } from 'preact/hooks'
import { Choice } from '../../../parts/choice'
import { MissingKey, PlainKey } from '../../../parts/keys'
import { oneTap } from '../one-tap'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/choice'
import { t } from '../../../words/message'

/** What fits the main key in two lines; a longer one stands in its row only. */
const LONG = 24

export function ChoiceScreen(props: ProofProps) {
  const { proof } = props
  const [chosen, setChosen] = useState<string | null>(null)
  const option = proof.options?.find(({ id }) => id === chosen)
  const keep = (value: string) => props.keep({ kind: 'figure', value })
  const choose = (id: string) => {
    setChosen(id)
    // A row is an answer: where a later hold seals it, it needs no key beside it.
    const isKept = !props.paints && proof.options?.some((each) => each.id === id && each.ok)
    if (isKept) void oneTap(proof.name, () => keep(id).catch(() => setChosen(null))) // `trouble` says why
  }
  const main =
    !option || (option.ok && !props.paints) ? (
      <MissingKey label={t(words.chooseAbove)} />
    ) : option.ok ? (
      <ProofKey
        of={props}
        label={option.says.length > LONG ? t(words.itIsSo) : option.says}
        onGiven={() => keep(option.id)}
      />
    ) : props.fail ? (
      <PlainKey label={t(words.whatToDoThen)} note={t(words.notLikeThat)} onPress={props.fail} />
    ) : (
      <MissingKey label={t(words.notWithThis)} />
    )
  return (
    <ProofFrame of={props} side="not" main={main}>
      <Choice label={proof.label} rows={proof.options ?? []} chosen={chosen} onChoose={choose} />
      {option?.ok === false && <p class="stop-words">{t(words.notWithThisHint)}</p>}
    </ProofFrame>
  )
}
