/** An engine as it was measured, out of which a draft is begun: its belt, its wheels, and the blocks that fit it. */
import type { BlocksAnswer } from '../../ledger/answers'
import { useAsked } from '../office/from-server'
import type { Rooms } from '../rooms'
import { Tick } from '../office/tick'
import { Field, Framed } from './form'
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

export type MeasuredFaults = { [name in 'engine' | 'belt' | 'wheels']?: string }

const ENGINE = /^[A-Za-z0-9][A-Za-z0-9 ._/-]{0,63}$/ // as the workshop takes it

/** What is to be put right before it is sent; whether belt and wheels fit each other the workshop says. */
export function measuredFaults(measured: MeasuredDrive): MeasuredFaults {
  return {
    ...(!ENGINE.test(measured.engine) && { engine: t(says.engineUnfit) }),
    ...(measured.belt.trim() === '' && { belt: t(says.beltMissing) }),
    ...(asBegun(measured).wheels.length < 2 && { wheels: t(says.wheelsTooFew) }),
  }
}

interface MeasuredProps {
  rooms: Rooms
  measured: MeasuredDrive
  faults: MeasuredFaults
  become: (measured: MeasuredDrive) => void
}

export function Measured({ rooms, measured, faults, become }: MeasuredProps) {
  const answer = useAsked<BlocksAnswer>(rooms, '/api/blocks')
  const blocks = answer?.ok ? answer.value.blocks.filter(({ withdrawn }) => !withdrawn) : []
  const set = (changed: Partial<MeasuredDrive>) => become({ ...measured, ...changed })
  const field = (name: 'engine' | 'belt') => ({
    value: measured[name],
    fault: faults[name],
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
      <Framed label={t(says.wheels)} hint={t(says.wheelsHint)} fault={faults.wheels}>
        {(named) => (
          <textarea
            {...named}
            rows={6}
            value={measured.wheels}
            onInput={(event) => set({ wheels: event.currentTarget.value })}
          />
        )}
      </Framed>
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
