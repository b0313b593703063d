/** In which order a call is asked: what may hurt first, who calls, the vehicle, its belt. Pure. */
import { asked, type Ask } from '../trade/triage'
import type { EnquiryDraft } from './enquiry'

const AT_ITS_PLACE: readonly Ask[] = ['traffic', 'slope', 'dark']

/** A question of the triage, or what else is asked on a screen of its own. */
export type Stage =
  | Exclude<Ask, 'traffic' | 'slope' | 'dark'>
  | 'noticed'
  | 'place'
  | 'advice'
  | 'caller'
  | 'plate'
  | 'engine'
  | 'odometer'
  | 'fitted'
  | 'fitted_km'
  | 'interval'
  | 'severe'
  | 'due'
  | 'sum'

/** @param hasInterval a procedure says how long a belt may last */
export function stagesOf({ said }: Pick<EnquiryDraft, 'said'>, hasInterval: boolean): Stage[] {
  const asks = asked(said)
  return [
    ...asks.filter(
      (ask) => !AT_ITS_PLACE.includes(ask) && ask !== 'stands' && ask !== 'belt' && ask !== 'hybrid',
    ),
    'noticed',
    'belt',
    'hybrid',
    'stands',
    ...(asks.includes('traffic') ? (['place'] as const) : []),
    'advice',
    'caller',
    'plate',
    'engine',
    'odometer',
    'fitted',
    'fitted_km',
    ...(hasInterval ? [] : (['interval'] as const)),
    'severe',
    'due',
    'sum',
  ] as Stage[]
}

/** Where a call stands: at its first question while nothing is said, as after the page was loaded anew; advice is for answers. */
export const stageAt = (
  wanted: string | undefined,
  { said }: Pick<EnquiryDraft, 'said'>,
  stages: readonly Stage[],
): Stage => stages.find((stage) => stage === wanted && Object.keys(said).length > 0) ?? stages[0]!

/** What the place is like, as it is known once its screen was left: what nobody named is not so. */
export const placeSaid = (chosen: readonly string[]) =>
  Object.fromEntries(AT_ITS_PLACE.map((ask) => [ask, chosen.includes(ask) ? 'yes' : 'no']))
