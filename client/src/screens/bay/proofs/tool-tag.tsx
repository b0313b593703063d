/** The tag stamped on a tool, looked up among the workshop's tools: which one is in the hand, and whether it may measure. */
import { useState } from 'preact/hooks'
import { MissingKey } from '../../../parts/keys'
import { LetterEntry } from '../../../parts/pad'
import type { TagVerdict } from '../../../work/wrenches'
import { ProofCode } from './code'
import { ProofFrame } from './frame'
import { ProofKey } from './proof-key'
import type { ProofProps } from './props'
import * as words from '../../../words/en/bay/proofs/tool-tag'
import { t } from '../../../words/message'

export function TagScreen(props: ProofProps & { look: (tag: string) => TagVerdict }) {
  const [typed, setTyped] = useState<string | null>(null)
  if (typed === null)
    return (
      <ProofCode
        of={props}
        says={t(words.pointAtTheTag)}
        read={(tag) => setTyped(tag.slice(0, 64))}
        type={() => setTyped('')}
      />
    )
  return <ReadTag {...props} typed={typed} onTyped={setTyped} />
}

function ReadTag({
  typed,
  onTyped,
  ...props
}: ProofProps & { look: (tag: string) => TagVerdict; typed: string; onTyped: (typed: string) => void }) {
  const tag = typed.trim().toUpperCase()
  const found = props.look(tag)
  const main =
    found.is === 'fit' ? (
      <ProofKey
        of={props}
        label={found.tool}
        note={t(words.isInTheHand)}
        onGiven={props.keep({ kind: 'figure', value: found.tool, tool: found.tool })}
      />
    ) : (
      <MissingKey
        label={
          found.is === 'part' ? t(words.goOn) : found.is === 'none' ? t(words.noTagYet) : t(words.notThisOne)
        }
        note={found.is === 'refused' ? t(words.takeAnother) : t(words.asItIsStamped)}
      />
    )
  return (
    <ProofFrame of={props} side="not" main={main} trouble={found.is === 'refused' ? found.trouble : null} pad>
      <LetterEntry
        id="tag"
        label={found.is === 'fit' ? found.says : (props.proof.hint ?? t(words.tagOnTheTool))}
        value={typed}
        onValue={(text) => onTyped(text.toUpperCase().slice(0, 64))}
        long
      />
    </ProofFrame>
  )
}
