/** Which tool a reading is taken with; and a fastener's torque, with the wrench in the hand and what is between. */
import { useEffect, useState } from 'preact/hooks'
import type { Adaptor } from '../../ledger/bodies'
import type { Trouble } from '../../store'
import { corrected, readUsual, USUAL, withUsual, type Fitted } from '../../work/adaptors'
import type { ProofNow } from '../../work/proofs'
import { isoDay } from '../../work/format'
import { settingNm } from '../../work/limits'
import { AdaptorScreen } from './proofs/adaptor'
import type { ProofProps } from './proofs/props'
import { TorqueScreen, WrenchChoice, type Through } from './proofs/torque'
import type { InStep } from './in-job'
import { wrenchesFor, wrenchFor } from '../../work/questions'
import type { Wrench } from '../../work/wrenches'

type Wanting = InStep & { wanted: ProofNow }

/** What was chosen for a proof lives in this session only: after a kill it is proposed anew, from the last reading. */
const chosen = new Map<string, string>()
const fitted = new Map<string, Fitted>()
const key = ({ job, asked, wanted }: Wanting) => `${job} ${asked.step.id} ${wanted.proof.name}`

/** The tool to read with: the one that was chosen, else the one that `wrenchFor` proposes; null where none may be used. */
export const toolFor = (room: Wanting): Wrench | null =>
  wrenchFor(
    room.now,
    room.statements,
    room.asked,
    room.wanted,
    isoDay(new Date()),
    chosen.get(key(room)) ?? null,
  )

function throughOf(room: Wanting): Through | null {
  const on = fitted.get(key(room))
  const nm = settingNm(room.asked.step, room.wanted.proof)
  return on && nm !== null ? { ...on, ...corrected(nm, on.adaptor) } : null
}

const wrenchesSet = (room: Wanting, through: Through | null) =>
  wrenchesFor(room.statements, room.asked, room.wanted, isoDay(new Date()), through?.setting)

export function GiveTool(room: Wanting) {
  const { wanted, head, toStep } = room
  const through = throughOf(room)
  const take = (tool: string) => {
    chosen.set(key(room), tool)
    // The hand sits elsewhere on another wrench: its length is asked for again.
    const isOther = through !== null && through.tool !== tool
    if (isOther) fitted.delete(key(room))
    toStep(isOther ? 'adaptor' : 'give', wanted.proof.name)
  }
  return (
    <WrenchChoice
      head={head}
      wrenches={wrenchesSet(room, through)}
      take={take}
      back={() => toStep('give', wanted.proof.name)}
    />
  )
}

const unfitWords = ({ tool, because }: Wrench): Trouble => ({
  code: 'wrench-unfit',
  message: `${tool}: ${because}`,
  hint: 'Take another wrench, or take the adaptor off.',
})

/** The wrench that an adaptor would go on: one that fits without it, the one in the hand, or any at all. */
const wrenchToFit = (room: Wanting): string | null =>
  chosen.get(key(room)) ?? toolFor(room)?.tool ?? wrenchesSet(room, null)[0]?.tool ?? null

export function GiveTorque({ room, nm, props }: { room: Wanting; nm: string; props: ProofProps }) {
  const [, redraw] = useState(0)
  const { toStep, wanted } = room
  const through = throughOf(room)
  const onIt = through && wrenchesSet(room, through).find(({ tool }) => tool === through.tool)
  const takeOff = () => {
    fitted.delete(key(room))
    redraw((times) => times + 1)
  }
  return (
    <TorqueScreen
      {...props}
      nm={nm}
      through={through}
      wrench={through ? (onIt?.fit ? onIt : null) : toolFor(room)}
      unfit={onIt && !onIt.fit ? unfitWords(onIt) : null}
      otherWrench={() => toStep('wrench', wanted.proof.name)}
      toAdaptor={wrenchToFit(room) === null ? null : () => toStep('adaptor', wanted.proof.name)}
      withoutAdaptor={takeOff}
    />
  )
}

export function GiveAdaptor(room: Wanting) {
  const { store, head, wanted, asked, toStep } = room
  const [usual, setUsual] = useState<Fitted[] | null>(null)
  useEffect(() => {
    void store.setting(USUAL).then((text) => setUsual(readUsual(text)))
  }, [])
  const tool = wrenchToFit(room)
  const nm = settingNm(asked.step, wanted.proof)
  const back = () => toStep('give', wanted.proof.name)
  if (tool === null || nm === null || usual === null) return <main class="bay" aria-busy="true" />
  const take = (adaptor: Adaptor) => {
    const next = { tool, adaptor }
    fitted.set(key(room), next)
    void store.setSetting(USUAL, withUsual(usual, next))
    back()
  }
  return <AdaptorScreen head={head} tool={tool} nm={nm} usual={usual} take={take} back={back} />
}
