"""What `twoturns/cli/calc/bolts.py` says."""

GALLON_US_L = "The gallon is the US one, 3.785 L."
HOLD_WRENCH_MIDDLE_GRIP_LENGTH = (
    "Hold the wrench at the middle of its grip: the length counts to there."
)
BOLTS_TURNED_ANGLE_USED_ONCE = "Bolts that are turned by an angle are used once: fit new ones."
STRESS_AREA = "stress area"
PROOF_LOAD = "proof load"
PRELOAD_YIELD = "preload at 90 % of yield"
ANGLE_DEG_NEEDS_CLAMPED_MM = "--angle-deg needs --clamped-mm, how much bolt it stretches, and back"
ADDED_IF_ELASTIC = "added if elastic"
THEN_PRELOAD = "then the preload is"
PAST_PROOF_LOAD_TORQUE_YIELD = "Past the proof load: torque to yield. Such a bolt is used once."
PRELOAD_FRICTION = "preload, friction {bare}"
PRELOAD_USUAL = "preload, friction {usual}"
PRELOAD_OILED = "preload, friction {oiled}"
PRELOAD_TORQUE_BAND_NOT_FIGURE = (
    "A preload from a torque is a band, not a figure: judge by the torque. A thread that "
    "is dry or rusty lies below it."
)
N_M_PULL_CLASS = "{torque_nm} N·m pull {thread} of class {strength}"
OVERTIGHTENED_PAST_PROOF_LOAD = (
    "Overtightened: {pulled} past its proof load. It is stretched and may break: do not "
    "use it again, and look at the thread it was in."
)
OILED_MAY_GO_PAST_PROOF = "An oiled thread may pass the proof load at this torque."
TURNS_TOO_FAR_OUT = "turns too far out"
MEASURED_WITHIN = "measured within"
IT_IS_SEATED = "It is seated."
NOT_SEATED_TAKE_OUT_LOOK = "It is not seated: take it out and look why."
N_M_PULL_STUD = "{torque_nm} N·m pull {named} of class 8.8"
PULL_ROLLER = "pull on the roller"
FLUSH_FRICTION_HOLDS = "flush: friction holds"
TIMES_IT = "times it"
NOT_FLUSH_BENDING = "not flush: bending"
NOT_FLUSH_STUD_BENT_CLASS = (
    "Not flush, the stud is bent by {part} % of what class 8.8 bears, to and fro at "
    "every turn of the load: it breaks weeks later."
)
ROLLER_NOT_HELD_N_M = (
    "The roller is not held: at {torque_nm} N·m friction bears {reserve} times the pull. "
    "It slips, works loose and bends its stud, flush or not."
)
FLUSH_NOT_BENT_ALL = "Flush, it is not bent at all."
