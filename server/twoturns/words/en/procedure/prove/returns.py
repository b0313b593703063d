"""What `twoturns/procedure/prove/returns.py` says."""

LOCK_DOES_NOT_GO_IN = (
    "after ''{step}' {lock}, {turns} turns of the crankshaft on: "
    "the hole of {wheel} is back every {every} turns"
)
MARK_IS_NOT_UP = (
    "''{step}' has the mark of {wheel} up again, {turns} turns of the crankshaft on: "
    "it is back every {every} turns"
)
ALL_MEET_EVERY = (
    "All marks and locks meet every {together} turns: turn that many, leave this one out there, "
    "or look at the teeth of the wheels."
)
