/** What was asked for is not there, or is done: on with the work. */
import { PlainKey } from '../../parts/keys'
import * as words from '../../words/en/bay/nothing-to-do'
import { t } from '../../words/message'
import { OrderKey } from './act-keys'
import { Frame } from './frame'
import type { InJob } from './in-job'

export const NothingToDo = ({
  title,
  head,
  to,
  onward,
}: Pick<InJob, 'head' | 'to' | 'onward'> & { title: string }) => (
  <Frame
    head={head}
    title={title}
    side={<OrderKey to={to} />}
    main={<PlainKey label={t(words.goOn)} onPress={onward} />}
  />
)
