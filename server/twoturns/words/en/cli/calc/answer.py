"""What `twoturns/cli/calc/answer.py` says."""

SEE_HELP = "See: twoturns calc {name} --help"
FIGURES_OUT_OF_RANGE = "these figures are too large or too small to compute with"
NOT_A_DAY = "{text} is no day, expected YYYY-MM-DD"
NOT_A_NUMBER = "{text} is no number: digits and a point alone, as 25.5, no unit"
NUMBER_OUT_OF_RANGE = "{text} is nothing that is measured: it must lie in 1e-9 to 1e9"
NOT_A_WHOLE_NUMBER = "{text} is no whole number: digits alone, as 84210, up to 1e9"
