/** The phone's screen beside the text: the step in which the cursor is, as a mechanic sees it when its turn comes. */
import type { Bundle } from '../../procedure/bundle'
import { previewOf } from '../../work/preview'
import { roomBeside } from '../../work/fits'
import { nextProof } from '../../work/step-tools'
import { StepScreen } from '../bay/step'
import type { ReadPicture } from '../bay/step-picture'
import * as board from '../../words/en/bay/step-screens'
import * as words from '../../words/en/bench/phone'
import { t } from '../../words/message'

const nothing = () => undefined

interface PhoneProps {
  bundle: Bundle
  step: string | null
  readPicture: ReadPicture
}

export function Phone({ bundle, step, readPicture }: PhoneProps) {
  const index = Math.max(
    0,
    bundle.steps.findIndex(({ id }) => id === step),
  )
  const { now, asked, rule } = previewOf(bundle, index)
  const left = asked.step.tools_out.length
  const next = nextProof(asked)
  const room = left === 0 && next ? roomBeside(asked.step, next.proof, [], 0) : null
  return (
    <figure class="bench-phone">
      <figcaption class="d-small">{t(words.onThePhone, { number: asked.step.number || '-' })}</figcaption>
      <div class="bench-screen" inert>
        <StepScreen
          key={asked.step.id}
          head={{
            job: bundle.name,
            step: asked.step.number || null,
            places: { phone: 1, workshop: 0, backup: 0 },
            sync: t(words.draft),
            rule,
            onOpen: nothing,
          }}
          now={now}
          asked={asked}
          trouble={null}
          readPicture={readPicture}
          next={next}
          gives={
            next && room !== null
              ? {
                  proof: next.proof,
                  paints: false,
                  keep: () => () => Promise.resolve(),
                  fail: null,
                  given: [],
                  room,
                }
              : null
          }
          toolsLeft={left > 0 ? t(board.takeOffTheBoard, { left }) : null}
          give={nothing}
          giveAgain={nothing}
          tools={nothing}
          paint={() => Promise.resolve()}
          pass={null}
          found={() => undefined}
          fail={asked.step.fails.length > 0 ? nothing : null}
        />
      </div>
    </figure>
  )
}
