/** An adaptor between wrench and fastener: what to set instead, and the lengths this workshop uses. `trade/torque` has the rule. */
import type { Adaptor } from '../ledger/bodies'
import { torqueAtFastenerNm, wrenchSettingNm } from '../trade/torque'
import * as says from '../words/en/work/adaptors'
import { t } from '../words/message'

export const ANGLES = [0, 45, 90] as const

/** Whole millimetres that can be: a hand closer to the square than this, or an adaptor longer, is a slip of the finger. Common practice, no source. */
export const LENGTHS = { wrench_mm: { low: 100, high: 1500 }, adaptor_mm: { low: 1, high: 500 } } as const

/** An adaptor on one wrench: where the hand goes is the wrench's own. */
export interface Fitted {
  tool: string
  adaptor: Adaptor
}

export interface Corrected {
  /** What the wrench is set to, N·m, as finely as its scale is read. */
  setting: string
  /** What the fastener gets at that setting, N·m. */
  fastener: string
}

/** To so many places, without zeros at the end. */
const shown = (nm: number, places: number) => String(Number(nm.toFixed(places)))

/**
 * The setting is rounded to what can be set (chosen, finer than a common scale: 0.1 N·m, below 10 N·m 0.05), and what
 * is written down is what the fastener gets at the rounded setting.
 */
export function corrected(nm: string, { wrench_mm, adaptor_mm, angle_deg }: Adaptor): Corrected {
  const exact = wrenchSettingNm(Number(nm), wrench_mm, adaptor_mm, angle_deg)
  const setting = exact < 10 ? Math.round(exact * 20) / 20 : Math.round(exact * 10) / 10
  return {
    setting: shown(setting, 2),
    fastener: shown(torqueAtFastenerNm(setting, wrench_mm, adaptor_mm, angle_deg), 2),
  }
}

export const adaptorWords = ({ wrench_mm, adaptor_mm, angle_deg }: Adaptor): string =>
  t(says.lengths, { adaptor_mm, angle_deg, wrench_mm })

/** The setting of the store that keeps the usual lengths, newest first. */
export const USUAL = 'adaptors'
const MOST_KEPT = 6

const isWhole = (value: unknown) => Number.isInteger(value) && (value as number) >= 0
const isFitted = (value: unknown): value is Fitted => {
  const { tool, adaptor } = (value ?? {}) as Partial<Fitted>
  return (
    typeof tool === 'string' &&
    isWhole(adaptor?.wrench_mm) &&
    isWhole(adaptor?.adaptor_mm) &&
    isWhole(adaptor?.angle_deg)
  )
}

/** What the store kept; anything else than what `withUsual` wrote is no use and left out. */
export function readUsual(text: string | null): Fitted[] {
  try {
    const kept: unknown = JSON.parse(text ?? '[]')
    return Array.isArray(kept) ? kept.filter(isFitted) : []
  } catch {
    return []
  }
}

/** The usual lengths with one more, in the form the store keeps. */
export function withUsual(kept: readonly Fitted[], next: Fitted): string {
  const words = ({ tool, adaptor }: Fitted) => `${tool} ${adaptorWords(adaptor)}`
  return JSON.stringify([next, ...kept.filter((each) => words(each) !== words(next))].slice(0, MOST_KEPT))
}
