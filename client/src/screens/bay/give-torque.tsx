/** Which tool a reading is taken with; and a fastener's torque, with the wrench in the hand and what is between. */
import { useEffect, useState } from 'preact/hooks'
import type { Adaptor } from '../../ledger/bodies'
import type { Held, Trouble } from '../../store'
import { corrected, readUsual, USUAL, withUsual, type Fitted } from '../../work/adaptors'
import type { ProofNow } from '../../work/proofs'
import { isoDay } from '../../work/format'
import { settingNm } from '../../work/limits'
import { chunk, screenOf } from '../chunk'
import type { ProofProps } from './proofs/props'
import { TorqueScreen, WrenchChoice, type Through } from './proofs/torque'
import type { InStep } from './in-job'
import { type Wrench, wrenchesFor, wrenchFor } from '../../work/wrenches'
import * as words from '../../words/en/bay/give-torque'
import { t } from '../../words/message'

/** Seldom in the hand: it comes when one is put on. */
const AdaptorScreen = screenOf(
  chunk(() => import('./proofs/adaptor')),
  (its) => its.AdaptorScreen,
)

/** A reading that is wanted in a step, and what the tool for it is chosen by. */
export interface Measuring extends Pick<InStep, 'store' | 'job' | 'now' | 'asked' | 'head' | 'toStep'> {
  statements: readonly Held[]
  wanted: ProofNow
}

/** What was chosen for a proof lives in this session only: after a kill it is proposed anew, from the last reading. */
const chosen = new Map<string, string>()
const fitted = new Map<string, Fitted>()
const key = ({ job, asked, wanted }: Measuring) => `${job} ${asked.step.id} ${wanted.proof.name}`

/** The tool to read with: the one that was chosen, else the one that `wrenchFor` proposes; null where none may be used. */
export const toolFor = (measuring: Measuring): Wrench | null =>
  wrenchFor(
    measuring.now,
    measuring.statements,
    measuring.asked,
    measuring.wanted,
    isoDay(new Date()),
    chosen.get(key(measuring)) ?? null,
  )

function throughOf(measuring: Measuring): Through | null {
  const on = fitted.get(key(measuring))
  const nm = settingNm(measuring.asked.step, measuring.wanted.proof)
  return on && nm !== null ? { ...on, ...corrected(nm, on.adaptor) } : null
}

const wrenchesSet = (measuring: Measuring, through: Through | null) =>
  wrenchesFor(measuring.statements, measuring.asked, measuring.wanted, isoDay(new Date()), through?.setting)

export function GiveTool(measuring: Measuring) {
  const { wanted, head, toStep } = measuring
  const through = throughOf(measuring)
  const take = (tool: string) => {
    chosen.set(key(measuring), tool)
    // The hand sits elsewhere on another wrench: its length is asked for again.
    const isOther = through !== null && through.tool !== tool
    if (isOther) fitted.delete(key(measuring))
    toStep(isOther ? 'adaptor' : 'give', wanted.proof.name)
  }
  return (
    <WrenchChoice
      head={head}
      wrenches={wrenchesSet(measuring, through)}
      take={take}
      back={() => toStep('give', wanted.proof.name)}
    />
  )
}

const unfitWords = ({ tool, because }: Wrench): Trouble => ({
  code: 'wrench-unfit',
  message: `${tool}: ${because}`,
  hint: t(words.wrenchUnfitHint),
})

/** The wrench that an adaptor would go on: one that fits without it, the one in the hand, or any at all. */
const wrenchToFit = (measuring: Measuring): string | null =>
  chosen.get(key(measuring)) ?? toolFor(measuring)?.tool ?? wrenchesSet(measuring, null)[0]?.tool ?? null

export function GiveTorque({
  measuring,
  nm,
  props,
}: {
  measuring: Measuring
  nm: string
  props: ProofProps
}) {
  const [, redraw] = useState(0)
  const { toStep, wanted } = measuring
  const through = throughOf(measuring)
  const onIt = through && wrenchesSet(measuring, through).find(({ tool }) => tool === through.tool)
  const takeOff = () => {
    fitted.delete(key(measuring))
    redraw((times) => times + 1)
  }
  return (
    <TorqueScreen
      {...props}
      nm={nm}
      through={through}
      wrench={through ? (onIt?.fit ? onIt : null) : toolFor(measuring)}
      unfit={onIt && !onIt.fit ? unfitWords(onIt) : null}
      otherWrench={() => toStep('wrench', wanted.proof.name)}
      toAdaptor={wrenchToFit(measuring) === null ? null : () => toStep('adaptor', wanted.proof.name)}
      withoutAdaptor={takeOff}
    />
  )
}

export function GiveAdaptor(measuring: Measuring) {
  const { store, head, wanted, asked, toStep } = measuring
  const [usual, setUsual] = useState<Fitted[] | null>(null)
  useEffect(() => {
    void store.setting(USUAL).then((text) => setUsual(readUsual(text)))
  }, [store])
  const tool = wrenchToFit(measuring)
  const nm = settingNm(asked.step, wanted.proof)
  const back = () => toStep('give', wanted.proof.name)
  if (tool === null || nm === null || usual === null) return <main class="bay" aria-busy="true" />
  const take = (adaptor: Adaptor) => {
    const next = { tool, adaptor }
    fitted.set(key(measuring), next)
    void store.setSetting(USUAL, withUsual(usual, next))
    back()
  }
  return <AdaptorScreen head={head} tool={tool} nm={nm} usual={usual} take={take} back={back} />
}
