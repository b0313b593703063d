"""What `twoturns/trade/interval.py` says."""

DUE_TIME_OVER = "It is due: the time was over on {on}."
DUE_KM_READ_LIMIT_KM = "It is due: {km} km were read on {on}, and the limit is {limit} km."
DUE_SINCE_ABOUT_READ_READ = "It is due since about {on}, by what was read: read the odometer now."
ODOMETER_RUNS_BACKWARD_MORE = "The odometer runs backward more than once: only the date counts."
KM_DOES_NOT_FIT_BETWEEN = "{km} km on {on} does not fit between the others: it is left out."
KM_DAYS_LOOK_BOTH_READINGS = "{km} km in {days} days, from {on}: look at both readings."
TIMES_THEM_MAY_MILES = "{km} is {km_per_mile} times {before}: one of them may be miles."
