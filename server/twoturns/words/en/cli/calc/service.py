"""What `twoturns/cli/calc/service.py` says."""

GIVE_TENSION_N_FREQUENCY_HZ = "give one of --tension-n and --frequency-hz"
STIFFNESS_NM_GOES_TENSION_N = (
    "--stiffness-nm2 goes with --tension-n: a note does not tell the two apart"
)
NO_SPAN_MM_LONG_MILLIMETRES = (
    "no span is {span_mm} mm long: {least_span_mm} to {most_span_mm}, in millimetres"
)
NO_BELT_KG_METRE_THESE = (
    "no belt has {mass_kg_per_m} kg in a metre. Are these grams? Then it is --mass-kg-per-m {kg}"
)
STIFF_BELT_ENDS = "stiff belt, ends {name}"
TENSION_STRING = "tension of a string"
GIVE_TAKE = "  give or take"
EACH_HZ_MORE = "for each Hz more"
EACH_MM_SPAN = "for each mm of span"
BAND_HZ_SPAN_MASS_BENDING = (
    "The band is for 2 % in Hz, 1 % in span and 2 % in mass. Bending is left out: on a "
    "short span the newtons read far too high."
)
BELT_JUDGED_NOTE_HZ_COLD = "A belt is judged by its note in Hz, on a cold engine."
BY_VOLUME = "by volume"
FREEZES_AT = "freezes at"
GIVE_WANTED_HOLDS_C = "give one of --wanted and --holds-c"
HOLD_C = "to hold to {holds_c} °C"
PLAIN_WATER_RUSTS_BOILS_SOONER = (
    "That is plain water: it rusts, boils sooner and bursts the block in the first frost."
)
FILL_NEEDS_SYSTEM_L_DRAINED = "a fill needs --system-l, --drained-l, and --wanted or --holds-c"
THEN_MIX = "then the mix is"
ROUNDED_WARM_SIDE_PUBLISHED = (
    "Rounded to the warm side; published points lie 2 to 3 °C apart. The vehicle maker "
    "says which coolant and which mix."
)
GLYCOL_MORE_THAN_FREEZES_WARMER = (
    "{shown} % glycol is more than {most_percent}: it freezes warmer again and carries "
    "less heat. How cold it holds is not known here."
)
DUE_AT = "due at"
DUE_ON = "due on"
ODOMETER_DOES_NOT_READ_KM = "an odometer does not read {km} km"
NOT_YET_TODAY = "{on} is not yet: today is {day_of}"
KM_DAY = "km a day"
VEHICLE_MAKERS_DATA_DECIDE = "The vehicle maker's data decide, and what counts as hard use."
NO_READING_EXPECTED_DAY_KM = "{text} is no reading, expected DAY=KM as 2026-05-01=84210"
