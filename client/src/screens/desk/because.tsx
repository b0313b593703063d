/** A statement that rules or takes back, and says why. */
import type { Body } from '../../ledger/bodies'
import * as words from '../../words/en/desk/because'
import { t } from '../../words/message'
import type { Rooms } from '../rooms'
import { becauseFault } from './drafts'
import { DeskForm, Field } from './form'
import { useLine } from './use-draft'
import { useWriting, type Build } from './use-writing'

/** Kinds of which each says why, in clear. */
type Because =
  | 'bundle.withdrawn'
  | 'device.revoked'
  | 'device.shut'
  | 'permit.ended'
  | 'set.retired'
  | 'tool.retired'

interface BecauseFormProps extends Rooms {
  title: string
  submit: string
  /** What follows from it. */
  means: string
  hint: string
  state: (because: string) => Build
  leave: () => void
}

/** A statement of a kind about what it is of, as `state` takes it. */
export const stating =
  <K extends Because>(kind: K, of: Omit<Body<K>, 'because'>) =>
  (because: string): Build =>
  async (w) =>
    void (await w.entry(kind, { ...of, because } as unknown as Body<K>))

export function BecauseForm({ title, submit, means, hint, state, leave, ...rooms }: BecauseFormProps) {
  const { write } = useWriting(rooms, null)
  const { of, judged, done } = useLine(`because/${title}`, becauseFault, leave)
  const act = () => {
    const because = judged()
    return because === null ? null : write(state(because)).then(done)
  }
  return (
    <DeskForm title={title} submit={submit} act={act} leave={leave}>
      <p class="d-text">{means}</p>
      <Field label={t(words.why)} hint={hint} {...of} />
    </DeskForm>
  )
}
