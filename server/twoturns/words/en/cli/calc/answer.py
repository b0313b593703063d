"""What `twoturns/cli/calc/answer.py` says."""

SEE_TWOTURNS_CALC_HELP = "See: twoturns calc {name} --help"
THESE_FIGURES_TOO_LARGE_TOO = "these figures are too large or too small to compute with"
NO_DAY_EXPECTED_YYYY_MM = "{text} is no day, expected YYYY-MM-DD"
NO_NUMBER_DIGITS_POINT_ALONE = "{text} is no number: digits and a point alone, as 25.5, no unit"
NOTHING_MEASURED_MUST_LIE_E = "{text} is nothing that is measured: it must lie in 1e-9 to 1e9"
NO_WHOLE_NUMBER_DIGITS_ALONE = "{text} is no whole number: digits alone, as 84210, up to 1e9"
