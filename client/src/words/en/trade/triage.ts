/**
 * What `trade/triage` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const roadside = 'Where it stands'
export const workshop = 'Into the workshop'
export const recover = 'Have it recovered'
export const becauseSmoke = 'Smoke was seen.'
export const becauseFuelSmell = 'It smells of fuel.'
export const becauseStoppedRunning =
  'It stopped while it ran: the belt may have broken or jumped, and valves may touch pistons.'
export const becauseCrankedSince =
  'It was cranked after it stopped: a leak-down test or a camera comes before any price.'
export const becauseDoesNotRun =
  'It is not known to run: nobody can say yet whether the belt is in its place.'
export const becauseBeltPieces =
  'Pieces of a belt were seen: strands may be drawn in behind the crank pulley.'
export const becauseKnock = 'It knocks: a valve may touch, or a roller is coming apart.'
export const becauseSteam = 'It is hot or steams: the pump may stand still.'
export const becauseTraffic = 'Traffic passes where it stands: nobody works there.'
export const becauseHybrid = 'It is a hybrid: people trained for high voltage make it safe first.'
export const becauseHybridUnknown = 'Nobody knows whether it is a hybrid: it is taken for one.'
export const becauseSlope = 'It stands on a slope or on soft ground.'
export const becauseDark = 'There is no light where it stands.'
export const becauseTimingBelt = 'A timing belt is never done at the roadside.'
export const tellStopEngine = 'Stop the engine.'
export const tellDoNotCrank = 'Do not crank it again, not even once, and do not push or tow it in gear.'
export const tellAwayFromIt =
  'Everybody out and well away from it. No flame. If it burns or goes on smoking: the emergency number.'
export const tellCapStaysShut = 'The coolant cap stays shut until all is cold.'
export const tellBehindBarrier =
  'Warning lamps on, everybody out on the side away from the traffic and behind the barrier. Nobody opens the bonnet there.'
export const tellHybridShut = 'Bonnet shut, key well away from the vehicle: it may start by itself.'
export const tellHeldOnSlope = 'Parking brake on, and a chock or a stone under a wheel.'
export const noticedRattleCold = 'Rattles when cold'
export const noticedWhine = 'Whines or squeals'
export const noticedKnock = 'Knocks'
export const noticedHardStart = 'Starts badly'
export const noticedLowPower = 'Lacks power'
export const noticedEngineLamp = 'Engine lamp on'
export const noticedChargeLamp = 'Charge lamp on'
export const noticedSteeringHeavy = 'Steering heavy'
export const noticedCoolantLoss = 'Loses coolant'
export const noticedSteam = 'Hot, or steam'
export const noticedOilSmell = 'Oil, or its smell'
export const noticedFuelSmell = 'Smells of fuel'
export const noticedSmoke = 'Smoke'
export const noticedBeltPieces = 'Pieces of belt'
