/** Choosing: the rows of a choice, and the main key that says what is chosen; on its own screen or on the step's. */
import { useState } from 'preact/hooks'
import { Choice } from '../../../parts/choice'
import { MissingKey, PlainKey } from '../../../parts/keys'
import { useOneTap } from '../../../parts/settled'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import type { Proof } from '../../../procedure/bundle'
import * as words from '../../../words/en/bay/proofs/choosing'
import { t } from '../../../words/message'

/** What fits the main key in two lines; a longer one stands in its row only. */
const LONG = 24

export type ChoosingProps = Pick<ProofProps, 'proof' | 'paints' | 'keep' | 'fail'>

function useChosen(props: ChoosingProps) {
  const { proof } = props
  const [chosen, setChosen] = useState<string | null>(null)
  const tap = useOneTap()
  const keep = (value: string) => props.keep({ kind: 'figure', value })
  const choose = (id: string) => {
    if (!tap.hears()) return
    setChosen(id)
    // A row is an answer: where a later hold seals it, it needs no key beside it.
    const isKept = !props.paints && proof.options?.some((each) => each.id === id && each.ok)
    if (isKept)
      tap.keep(
        keep(id),
        () => undefined,
        () => setChosen(null), // `trouble` says why
      )
  }
  return { option: proof.options?.find(({ id }) => id === chosen), choose, keep }
}

/** @returns the rows for the field and the key for the deck */
export function useChoosing(props: ChoosingProps) {
  const { proof, paints, fail } = props
  const { option, choose, keep } = useChosen(props)
  const main =
    option?.ok && paints ? (
      <ProofKey
        of={props}
        label={option.says.length > LONG ? t(words.itIsSo) : option.says}
        onGiven={keep(option.id)}
      />
    ) : (
      <NotYetKey option={option} fail={fail} />
    )
  return { rows: <ChoiceRows proof={proof} option={option} choose={choose} />, main }
}

type Option = NonNullable<Proof['options']>[number]

/** The key while no row is chosen that lets the step be painted. */
export const NotYetKey = ({ option, fail }: { option: Option | undefined; fail: ProofProps['fail'] }) =>
  !option || option.ok ? (
    <MissingKey label={t(words.chooseAbove)} />
  ) : fail ? (
    <PlainKey label={t(words.whatToDoThen)} note={t(words.notLikeThat)} onPress={fail} />
  ) : (
    <MissingKey label={t(words.notWithThis)} />
  )

interface ChoiceRowsProps {
  proof: Proof
  option: Option | undefined
  choose: (id: string) => void
}

export const ChoiceRows = ({ proof, option, choose }: ChoiceRowsProps) => (
  <>
    <Choice label={proof.label} rows={proof.options ?? []} chosen={option?.id ?? null} onChoose={choose} />
    {option?.ok === false && <p class="stop-words">{t(words.notWithThisHint)}</p>}
  </>
)
