"""What `trade/triage` says, here and on the phone."""

ROADSIDE = "Where it stands"
WORKSHOP = "Into the workshop"
RECOVER = "Have it recovered"
BECAUSE_SMOKE = "Smoke was seen."
BECAUSE_FUEL_SMELL = "It smells of fuel."
BECAUSE_STOPPED_RUNNING = (
    "It stopped while it ran: the belt may have broken or jumped, and valves may touch pistons."
)
BECAUSE_CRANKED_SINCE = (
    "It was cranked after it stopped: a leak-down test or a camera comes before any price."
)
BECAUSE_DOES_NOT_RUN = (
    "It is not known to run: nobody can say yet whether the belt is in its place."
)
BECAUSE_BELT_PIECES = "Pieces of a belt were seen: strands may be drawn in behind the crank pulley."
BECAUSE_KNOCK = "It knocks: a valve may touch, or a roller is coming apart."
BECAUSE_STEAM = "It is hot or steams: the pump may stand still."
BECAUSE_TRAFFIC = "Traffic passes where it stands: nobody works there."
BECAUSE_HYBRID = "It is a hybrid: people trained for high voltage make it safe first."
BECAUSE_HYBRID_UNKNOWN = "Nobody knows whether it is a hybrid: it is taken for one."
BECAUSE_SLOPE = "It stands on a slope or on soft ground."
BECAUSE_DARK = "There is no light where it stands."
BECAUSE_TIMING_BELT = "A timing belt is never done at the roadside."
TELL_STOP_ENGINE = "Stop the engine."
TELL_DO_NOT_CRANK = "Do not crank it again, not even once, and do not push or tow it in gear."
TELL_AWAY_FROM_IT = (
    "Everybody out and well away from it. No flame. If it burns or goes on smoking: the emergency"
    " number."
)
TELL_CAP_STAYS_SHUT = "The coolant cap stays shut until all is cold."
TELL_BEHIND_BARRIER = (
    "Warning lamps on, everybody out on the side away from the traffic and behind the barrier."
    " Nobody opens the bonnet there."
)
TELL_HYBRID_SHUT = "Bonnet shut, key well away from the vehicle: it may start by itself."
TELL_HELD_ON_SLOPE = "Parking brake on, and a chock or a stone under a wheel."
NOTICED_RATTLE_COLD = "Rattles when cold"
NOTICED_WHINE = "Whines or squeals"
NOTICED_KNOCK = "Knocks"
NOTICED_HARD_START = "Starts badly"
NOTICED_LOW_POWER = "Lacks power"
NOTICED_ENGINE_LAMP = "Engine lamp on"
NOTICED_CHARGE_LAMP = "Charge lamp on"
NOTICED_STEERING_HEAVY = "Steering heavy"
NOTICED_COOLANT_LOSS = "Loses coolant"
NOTICED_STEAM = "Hot, or steam"
NOTICED_OIL_SMELL = "Oil, or its smell"
NOTICED_FUEL_SMELL = "Smells of fuel"
NOTICED_SMOKE = "Smoke"
NOTICED_BELT_PIECES = "Pieces of belt"
