"""What `trade/interval` says, here and on the phone."""

DUE_BY_TIME = "It is due: the time was over on {on}."
DUE_BY_KM = "It is due: {km} km were read on {on}, and the limit is {limit} km."
DUE_BY_ESTIMATE = "It is due since about {on}, by what was read: read the odometer now."
RUNS_BACKWARD = "The odometer runs backward more than once: only the date counts."
READING_LEFT_OUT = "{km} km on {on} does not fit between the others: it is left out."
TOO_MANY_KM = (
    "{now, number} km, and {before, number} km were read on {on}: {km, number} km in {days, plural,"
    " one {a day} other {# days}}. Look at both readings."
)
MAY_BE_MILES = "{km} is {km_per_mile} times {before}: one of them may be miles."
LOWER_THAN_BEFORE = "{km, number} km is less than the {before, number} km that were read on {on}."
