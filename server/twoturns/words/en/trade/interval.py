"""What `twoturns/trade/interval.py` says."""

DUE_BY_TIME = "It is due: the time was over on {on}."
DUE_BY_KM = "It is due: {km} km were read on {on}, and the limit is {limit} km."
DUE_BY_ESTIMATE = "It is due since about {on}, by what was read: read the odometer now."
RUNS_BACKWARD = "The odometer runs backward more than once: only the date counts."
READING_LEFT_OUT = "{km} km on {on} does not fit between the others: it is left out."
TOO_MANY_KM = "{km} km in {days} days, from {on}: look at both readings."
MAY_BE_MILES = "{km} is {km_per_mile} times {before}: one of them may be miles."
