/** A choice: what is seen, out of a few rows of which some do not let the step be painted. */
import { useChoosing } from './choosing'
import { ProofFrame } from './frame'
import type { ProofProps } from './props'

export function ChoiceScreen(props: ProofProps) {
  const { rows, main } = useChoosing(props)
  return (
    <ProofFrame of={props} side="not" main={main}>
      {rows}
    </ProofFrame>
  )
}
