"""What `twoturns/cli/calc/service.py` says."""

TENSION_OR_FREQUENCY = "give one of --tension-n and --frequency-hz"
STIFFNESS_NEEDS_TENSION = (
    "--stiffness-nm2 goes with --tension-n: a note does not tell the two apart"
)
SPAN_OUT_OF_RANGE = (
    "no span is {span_mm} mm long: {least_span_mm} to {most_span_mm}, in millimetres"
)
MASS_OUT_OF_RANGE = (
    "no belt has {mass_kg_per_m} kg in a metre. Are these grams? Then it is --mass-kg-per-m {kg}"
)
STIFF_BELT = "stiff belt, ends {name}"
STRING_TENSION = "tension of a string"
GIVE_OR_TAKE = "  give or take"
PER_HZ = "for each Hz more"
PER_MM_OF_SPAN = "for each mm of span"
WHAT_BAND_COVERS = (
    "The band is for 2 % in Hz, 1 % in span and 2 % in mass. Bending is left out: on a "
    "short span the newtons read far too high."
)
JUDGE_BY_NOTE = "A belt is judged by its note in Hz, on a cold engine."
BY_VOLUME = "by volume"
FREEZES_AT = "freezes at"
WANTED_OR_HOLDS = "give one of --wanted and --holds-c"
TO_HOLD_TO = "to hold to {holds_c} °C"
PLAIN_WATER = "That is plain water: it rusts, boils sooner and bursts the block in the first frost."
FILL_NEEDS_OPTIONS = "a fill needs --system-l, --drained-l, and --wanted or --holds-c"
MIX_REACHED = "then the mix is"
ROUNDED_TO_WARM_SIDE = (
    "Rounded to the warm side; published points lie 2 to 3 °C apart. The vehicle maker "
    "says which coolant and which mix."
)
TOO_MUCH_GLYCOL = (
    "{shown} % glycol is more than {most_percent}: it freezes warmer again and carries "
    "less heat. How cold it holds is not known here."
)
DUE_AT = "due at"
DUE_ON = "due on"
KM_OUT_OF_RANGE = "an odometer does not read {km} km"
DAY_IN_FUTURE = "{on} is not yet: today is {day_of}"
KM_PER_DAY = "km a day"
MAKERS_DATA_DECIDE = "The vehicle maker's data decide, and what counts as hard use."
NOT_A_READING = "{text} is no reading, expected DAY=KM as 2026-05-01=84210"
