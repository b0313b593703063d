/**
 * What is said on the telephone before anything else: may it run, and where is it looked at.
 * The twin of `server/twoturns/trade/triage.py`, which says why and names the sources.
 */
import * as words from '../words/en/trade/triage'
import { t } from '../words/message'

const KNOWN_OR_NOT = ['yes', 'no', 'unknown'] as const

/** What is asked, in this order, and what may be said to it. */
export const ASKS = {
  runs: KNOWN_OR_NOT,
  stopped: KNOWN_OR_NOT,
  cranked: KNOWN_OR_NOT,
  belt: ['timing', 'auxiliary', 'unknown'],
  hybrid: KNOWN_OR_NOT,
  stands: ['workshop', 'home', 'car_park', 'road_side', 'fast_road'],
  traffic: ['yes', 'no'],
  slope: ['yes', 'no'],
  dark: ['yes', 'no'],
} as const
export type Ask = keyof typeof ASKS
export type Said = Partial<Record<Ask, string>>

/** What may be noticed of a belt, or taken for one, in words. */
export const NOTICED_WORDS = {
  rattle_cold: t(words.noticedRattleCold),
  whine: t(words.noticedWhine),
  knock: t(words.noticedKnock),
  hard_start: t(words.noticedHardStart),
  low_power: t(words.noticedLowPower),
  engine_lamp: t(words.noticedEngineLamp),
  charge_lamp: t(words.noticedChargeLamp),
  steering_heavy: t(words.noticedSteeringHeavy),
  coolant_loss: t(words.noticedCoolantLoss),
  steam: t(words.noticedSteam),
  oil_smell: t(words.noticedOilSmell),
  fuel_smell: t(words.noticedFuelSmell),
  smoke: t(words.noticedSmoke),
  belt_pieces: t(words.noticedBeltPieces),
}
export const ADVICE_WORDS = {
  roadside: t(words.roadside),
  workshop: t(words.workshop),
  recover: t(words.recover),
}
export const REASON_WORDS = {
  smoke: t(words.becauseSmoke),
  fuel_smell: t(words.becauseFuelSmell),
  stopped_running: t(words.becauseStoppedRunning),
  cranked_since: t(words.becauseCrankedSince),
  does_not_run: t(words.becauseDoesNotRun),
  belt_pieces: t(words.becauseBeltPieces),
  knock: t(words.becauseKnock),
  steam: t(words.becauseSteam),
  traffic: t(words.becauseTraffic),
  hybrid: t(words.becauseHybrid),
  hybrid_unknown: t(words.becauseHybridUnknown),
  slope: t(words.becauseSlope),
  dark: t(words.becauseDark),
  timing_belt: t(words.becauseTimingBelt),
}
export const TOLD_WORDS = {
  stop_engine: t(words.tellStopEngine),
  do_not_crank: t(words.tellDoNotCrank),
  away_from_it: t(words.tellAwayFromIt),
  cap_stays_shut: t(words.tellCapStaysShut),
  behind_barrier: t(words.tellBehindBarrier),
  hybrid_shut: t(words.tellHybridShut),
  held_on_slope: t(words.tellHeldOnSlope),
}
export type Advice = keyof typeof ADVICE_WORDS
export type Reason = keyof typeof REASON_WORDS
export type Told = keyof typeof TOLD_WORDS

/** `because`: the reasons, the gravest first. `told`: what the caller is asked to do and not to do. */
export interface Triage {
  advice: Advice
  because: Reason[]
  told: Told[]
}

interface Call {
  is: (ask: Ask, answer: string) => boolean
  noticed: readonly string[]
}
/** What a reason forbids: to go on by itself, or to be worked on where it is. */
type Forbids = 'drives' | 'on_the_spot'

const isAway = ({ is }: Call) => !is('stands', 'workshop')
const standsStill = ({ is }: Call) => !is('runs', 'yes')
const isInTraffic = (call: Call) =>
  isAway(call) && (call.is('stands', 'fast_road') || call.is('traffic', 'yes'))
const noticed =
  (name: string) =>
  ({ noticed: signs }: Call) =>
    signs.includes(name)
const atItsPlace = (ask: Ask) => (call: Call) => isAway(call) && call.is(ask, 'yes')

/** A reason, when it holds, what it forbids, and what the caller is told for it. */
const REASONS: [Reason, (call: Call) => boolean, Forbids, Told[]][] = [
  ['smoke', noticed('smoke'), 'drives', ['stop_engine', 'away_from_it']],
  ['fuel_smell', noticed('fuel_smell'), 'drives', ['do_not_crank', 'away_from_it']],
  ['stopped_running', (c) => standsStill(c) && c.is('stopped', 'yes'), 'drives', ['do_not_crank']],
  ['cranked_since', (c) => standsStill(c) && c.is('cranked', 'yes'), 'drives', ['do_not_crank']],
  ['does_not_run', (c) => standsStill(c) && !c.is('stopped', 'yes'), 'drives', ['do_not_crank']],
  ['belt_pieces', noticed('belt_pieces'), 'drives', ['stop_engine', 'do_not_crank']],
  ['knock', noticed('knock'), 'drives', ['stop_engine', 'do_not_crank']],
  ['steam', noticed('steam'), 'drives', ['stop_engine', 'cap_stays_shut']],
  ['traffic', isInTraffic, 'drives', ['behind_barrier']],
  ['hybrid', (c) => c.is('hybrid', 'yes'), 'on_the_spot', ['hybrid_shut']],
  ['hybrid_unknown', (c) => c.is('hybrid', 'unknown'), 'on_the_spot', ['hybrid_shut']],
  ['slope', atItsPlace('slope'), 'on_the_spot', ['held_on_slope']],
  ['dark', atItsPlace('dark'), 'on_the_spot', []],
  ['timing_belt', (c) => !c.is('belt', 'auxiliary'), 'on_the_spot', []],
]

/** What is to be asked, by what was said so far: of one that runs nobody asks whether it stopped. */
export function asked(said: Said): Ask[] {
  const left: Ask[] = [
    ...(said.runs === 'yes' ? (['stopped', 'cranked'] as const) : []),
    ...(said.stands === 'workshop' ? (['traffic', 'slope', 'dark'] as const) : []),
  ]
  return (Object.keys(ASKS) as Ask[]).filter((ask) => !left.includes(ask))
}

/**
 * Judge a call: what was said to `ASKS`, and what was noticed. What was not asked is unknown.
 *
 * @throws {RangeError} on an answer or a sign that is not known here
 */
export function triage(said: Said, signs: readonly string[] = []): Triage {
  check(said, signs)
  const needed = asked(said)
  const of = (ask: Ask) => (needed.includes(ask) ? said[ask] : undefined) ?? 'unknown'
  const call: Call = { is: (ask, answer) => of(ask) === answer, noticed: signs }
  const found = REASONS.filter(([, holds]) => holds(call))
  const forbidden = new Set(found.map(([, , forbids]) => forbids))
  const told = new Set(found.flatMap(([, , , tells]) => tells))
  if (call.is('runs', 'no')) told.delete('stop_engine')
  return {
    advice: adviceOf(call, forbidden),
    because: found.map(([code]) => code),
    told: [...told],
  }
}

function adviceOf(call: Call, forbidden: ReadonlySet<Forbids>): Advice {
  if (!isAway(call)) return 'workshop'
  if (forbidden.has('drives')) return 'recover'
  if (!call.is('belt', 'auxiliary')) return 'workshop'
  // Without its auxiliary belt an engine may be without a water pump: it is not driven in.
  return forbidden.size > 0 ? 'recover' : 'roadside'
}

function check(said: Said, signs: readonly string[]): void {
  for (const [ask, answer] of Object.entries(said))
    if (!(ASKS as Record<string, readonly string[]>)[ask]?.includes(answer))
      throw new RangeError(`unknown answer '${answer}' to '${ask}'`)
  for (const sign of signs) if (!(sign in NOTICED_WORDS)) throw new RangeError(`unknown sign '${sign}'`)
}
