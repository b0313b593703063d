"""What `twoturns/cli/procedure.py` says."""

PUBLISHED = "Published."
THESE_VERY_BYTES_PUBLISHED = "These very bytes are published already."
DRAWN = "{out}: drawn."
NO_STEP_ORDER_KNOWN = "no step of the order is ''{name}'. Known: {known}"
STATES_WALKED = "\r{states} states walked "
STOPPED_AFTER_STATES_NOTHING = (
    "stopped after {walked} states: nothing is proved, and nothing was changed."
)
STATES_WALKED_WAYS_BETWEEN_THEM = "{states} states walked, {transitions} ways between them."
SHORTEST_WAY_THERE = "  Shortest way there:"
PROVED_HOUSE_RULES_HOLD = (
    "Proved: {rules_proven} house rules hold whatever comes first, every proof is fresh, "
    "and an end is reached from everywhere."
)
NOT_PROVED = (
    "{path} is not proved: {found, plural, one {{found} finding} other {{found} findings}}."
)
LISTED_ORDER = "{run}, and on in the listed order to"
EDITION = "{path}: {name}, edition {edition}"
HOLDS = (
    "{steps, plural, one {{steps} step} other {{steps} steps}}, "
    "{ways_back, plural, one {{ways_back} way back} other {{ways_back} ways back}}, "
    "{pictures, plural, one {{pictures} picture} other {{pictures} pictures}}, bundle {bundle}"
)
