/** What is typed while a job is opened, and which screen asks for what is lacking. Pure. */
import type { BundleRow, Trouble } from '../../store'
import { checkVin } from '../../trade/identity'
import { asDialled } from '../../work/dial-unit'
import { odometer } from '../../work/odometer'
import { procedureFor, type CarriedCall } from '../../work/opening'
import * as words from '../../words/en/bay/open-draft'
import { t } from '../../words/message'

export interface Draft {
  vin: string
  plate: string
  odometer: string
  inMiles: boolean
  bundle: BundleRow | null
  code: string
  bay: string
  customer: string
  phone: string
  /** What was answered where something did not fit, by the doubt's name. */
  answers: Record<string, string>
}
export const STAGES = ['vin', 'plate', 'odometer', 'engine', 'bay', 'sum'] as const
/** The customer is nobody's next screen: it is gone to from the last one by who wants to. */
export type Stage = (typeof STAGES)[number] | 'customer'

/** What may be gone to: nothing behind what is not given yet. */
export function stageOf(asked: string | undefined, draft: Draft): Stage {
  if (asked === 'customer') return asked
  const lacking = STAGES.findIndex((stage) => stage !== 'sum' && !isGiven(draft, stage))
  const found = (STAGES as readonly Stage[]).indexOf(asked as Stage)
  return STAGES[Math.max(0, Math.min(found, lacking < 0 ? found : lacking))]!
}

function isGiven(draft: Draft, stage: Exclude<Stage, 'sum' | 'customer'>): boolean {
  if (stage === 'vin') return checkVin(draft.vin).accepted
  if (stage === 'odometer') return 'km' in odometer(draft.odometer, draft.inMiles)
  return stage === 'engine' ? draft.bundle !== null : draft[stage].trim() !== ''
}

export const kmOf = (draft: Draft): number => {
  const read = odometer(draft.odometer, draft.inMiles)
  return 'km' in read ? read.km : 0
}

export interface StageProps {
  draft: Draft
  set: (part: Partial<Draft>) => void
  on: () => void
  back: () => void
  trouble: Trouble | null
  bundles: readonly BundleRow[]
  /** The bay that a job was opened in last, on this phone. */
  lastBay: string | null
}

export const EMPTY: Draft = {
  vin: '',
  plate: '',
  odometer: '',
  inMiles: false,
  bundle: null,
  code: '',
  bay: '',
  customer: '',
  phone: '',
  answers: {},
}

/** What was typed so far, under its name. */
export const typedWords = ({ vin, plate, customer, phone }: Draft): [name: string, value: string][] => [
  [t(words.vinLabel), vin],
  [t(words.plateLabel), plate],
  [t(words.customerTitle), customer],
  [t(words.telephone), phone],
]

/** What a call said already: nothing of it is typed again. */
export function draftOf({ row: { body }, values }: CarriedCall, bundles: readonly BundleRow[]): Draft {
  const code = body.engine_code ?? ''
  const bundle = procedureFor(bundles, code)
  return {
    ...EMPTY,
    ...values,
    ...asDialled(body.odometer_km, body.odometer_unit),
    code: bundle ? code : '',
    bundle,
  }
}
