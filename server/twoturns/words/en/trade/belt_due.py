"""What `trade/belt_due` says, here and on the phone."""

INTERVAL_UNKNOWN = (
    "How long a belt may last there is not known: look it up in the maker's data for this engine."
)
BELT_UNKNOWN = "Nobody knows when the belt was changed last: it counts as due now."
SOON = "It is due soon: within {months} months or {km, number} km."
LATER = "It is due about {on}, between {earliest} and {latest}, by what was read."
LATER_BY_DATE = "It is due on {on}, by its age."
LATER_BY_KM = "It is not due by distance. When it will be is not known: one reading more tells."
WARNING = (
    "{known, select, true {Vehicle {plate}. } other {}}{why} A timing belt that breaks or jumps can"
    " destroy the engine without a sign before, and the vehicle stops where it is. We advise to"
    " have it changed before it is driven on. If the engine has stopped by itself, do not crank it"
    " again. The vehicle maker's data for this engine decide."
)
