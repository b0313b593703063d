/** An engine as it was measured, out of which a draft is begun: its belt, its wheels, and the blocks that fit it. */
import { useId } from 'preact/hooks'
import type { BlocksAnswer } from '../../ledger/answers'
import { useAsked } from '../office/from-server'
import type { Rooms } from '../rooms'
import { Tick } from '../office/tick'
import { Field } from './form'
import { Choose } from '../office/choose'
import * as says from '../../words/en/desk/measured'
import { t } from '../../words/message'

export interface MeasuredDrive {
  engine: string
  belt: string
  wheels: string
  blocks: readonly string[]
  clockwise: boolean
}

export const nothingMeasured: MeasuredDrive = {
  engine: '',
  belt: '',
  wheels: '',
  blocks: [],
  clockwise: true,
}

/** As the workshop asks for it: a wheel a line, the crankshaft's first. */
export const asBegun = ({ wheels, ...measured }: MeasuredDrive) => ({
  ...measured,
  wheels: wheels.split('\n').flatMap((line) => line.trim() || []),
})

interface MeasuredProps {
  rooms: Rooms
  measured: MeasuredDrive
  become: (measured: MeasuredDrive) => void
}

export function Measured({ rooms, measured, become }: MeasuredProps) {
  const id = useId()
  const answer = useAsked<BlocksAnswer>(rooms, '/api/blocks')
  const blocks = answer?.ok ? answer.value.blocks.filter(({ withdrawn }) => !withdrawn) : []
  const set = (changed: Partial<MeasuredDrive>) => become({ ...measured, ...changed })
  const field = (name: 'engine' | 'belt') => ({
    value: measured[name],
    onValue: (value: string) => set({ [name]: value }),
  })
  const choose = (block: string, isChosen: boolean) => {
    const chosen = (name: string) => (name === block ? isChosen : measured.blocks.includes(name))
    set({ blocks: blocks.map((each) => each.block).filter(chosen) })
  }
  return (
    <>
      <Field label={t(says.engine)} hint={t(says.engineHint)} {...field('engine')} />
      <Field label={t(says.belt)} hint={t(says.beltHint)} {...field('belt')} />
      <div class="desk-field">
        <label for={id}>{t(says.wheels)}</label>
        <p class="d-small" id={`${id}-hint`}>
          {t(says.wheelsHint)}
        </p>
        <textarea
          id={id}
          rows={6}
          aria-describedby={`${id}-hint`}
          value={measured.wheels}
          onInput={(event) => set({ wheels: event.currentTarget.value })}
        />
      </div>
      <Choose
        label={t(says.turns)}
        value={measured.clockwise ? 'clockwise' : 'anticlockwise'}
        onValue={(value) => set({ clockwise: value === 'clockwise' })}
        options={[
          { value: 'clockwise', words: t(says.clockwise) },
          { value: 'anticlockwise', words: t(says.anticlockwise) },
        ]}
      />
      <fieldset class="desk-ticks">
        <legend>{t(says.blocks)}</legend>
        {blocks.map(({ block, name }) => (
          <Tick key={block} isOn={measured.blocks.includes(block)} set={(isOn) => choose(block, isOn)}>
            {name}
          </Tick>
        ))}
      </fieldset>
    </>
  )
}
