"""What `twoturns/cli/verdict.py` says."""

FINDINGS = "{count, plural, one {{count} thing does} other {{count} things do}} not hold."
VERIFIED = (
    "{unshown, select, none {whole and unaltered} "
    "completeness {nothing in it was altered, but completeness not proven} "
    "growth {nothing in it was altered, but growth not proven} "
    "other {nothing in it was altered, but completeness and growth not proven}}; "
    "as of {day}, at {size} records{trusted, select, true {; signed by workshop {workshop}} "
    "other {. Any workshop could have signed it: compare {workshop} with the fingerprint on "
    "paper, and give that with --key}}."
)
EXCEPTION = "{what} ({who}, record {index})"
PROVEN = "Proven"
ASSERTED_BY = "Asserted by"
NOT_CHECKED = "Not checked"
NOT_PROVEN = "Not proven"
BAGS_HOLD = (
    "{whole} of {bags, plural, one {# bag is} other {# bags are}} whole and unaltered"
    "{holds, select, true {} other {, and something does not hold}}."
)
CHOICE_NOT_PROVEN = (
    "Which jobs are in this file is the word of who made it: nothing proves that none is left out."
)
SAMPLE = "A sample of {jobs, plural, one {# job} other {# jobs}} out of {population}"
FROZEN = "frozen by record {index}, at {size} records; filter: {wanted}"
WORD = "drawn by record {index}, with the word: {word}"
