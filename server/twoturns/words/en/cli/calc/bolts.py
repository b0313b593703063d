"""What `twoturns/cli/calc/bolts.py` says."""

US_GALLON = "The gallon is the US one, 3.785 L."
HOLD_GRIP_MIDDLE = "Hold the wrench at the middle of its grip: the length counts to there."
FIT_NEW_BOLTS = "Bolts that are turned by an angle are used once: fit new ones."
STRESS_AREA = "stress area"
PROOF_LOAD = "proof load"
PRELOAD_NEAR_YIELD = "preload at 90 % of yield"
ANGLE_NEEDS_CLAMPED = "--angle-deg needs --clamped-mm, how much bolt it stretches, and back"
ADDED_IF_ELASTIC = "added if elastic"
PRELOAD_REACHED = "then the preload is"
TORQUE_TO_YIELD = "Past the proof load: torque to yield. Such a bolt is used once."
PRELOAD_BARE = "preload, friction {bare}"
PRELOAD_USUAL = "preload, friction {usual}"
PRELOAD_OILED = "preload, friction {oiled}"
PRELOAD_IS_A_BAND = (
    "A preload from a torque is a band, not a figure: judge by the torque. A thread that "
    "is dry or rusty lies below it."
)
PULL_OF_TORQUE = "{torque_nm} N·m pull {thread} of class {strength}"
OVERTIGHTENED = (
    "Overtightened: {pulled} past its proof load. It is stretched and may break: do not "
    "use it again, and look at the thread it was in."
)
OILED_ABOVE_PROOF = "An oiled thread may pass the proof load at this torque."
TURNS_TOO_FAR_OUT = "turns too far out"
MEASURED_WITHIN = "measured within"
SEATED = "It is seated."
NOT_SEATED = "It is not seated: take it out and look why."
PULL_OF_STUD = "{torque_nm} N·m pull {named} of class 8.8"
PULL_ON_ROLLER = "pull on the roller"
FRICTION_HOLDS = "flush: friction holds"
TIMES_THE_PULL = "times it"
BENDING = "not flush: bending"
STUD_BENDS = (
    "Not flush, the stud is bent by {part} % of what class 8.8 bears, to and fro at "
    "every turn of the load: it breaks weeks later."
)
ROLLER_NOT_HELD = (
    "The roller is not held: at {torque_nm} N·m friction bears {reserve} times the pull. "
    "It slips, works loose and bends its stud, flush or not."
)
STUD_STRAIGHT = "Flush, it is not bent at all."
