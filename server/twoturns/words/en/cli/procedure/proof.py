"""What `twoturns/cli/procedure/proof.py` says."""

WALK_PROGRESS = "\r{states} states walked "
WALK_STOPPED = "stopped after {walked} states: nothing is proved, and nothing was changed."
STATES_WALKED = "{states} states walked, {transitions} ways between them."
SHORTEST_WAY = "  Shortest way there:"
PROVED = (
    "Proved: {rules_proven} house rules hold whatever comes first, every proof is fresh, "
    "and an end is reached from everywhere."
)
NOT_PROVED = (
    "{path} is not proved: {found, plural, one {{found} finding} other {{found} findings}}."
)
AND_ON_IN_ORDER = "{run}, and on in the listed order to"
EDITION = "{path}: {name}, edition {edition}"
PROCEDURE_CONTENTS = (
    "{steps, plural, one {{steps} step} other {{steps} steps}}, "
    "{ways_back, plural, one {{ways_back} way back} other {{ways_back} ways back}}, "
    "{pictures, plural, one {{pictures} picture} other {{pictures} pictures}}, bundle {bundle}"
)
WEIGHT = "\nThe straight job asks of the phone"
TOUCHES = "  {n, plural, one {# touch} other {# touches}}"
HOLDS = "  {n, plural, one {# hold} other {# holds}}"
PHOTOS = "  {n, plural, one {# photo} other {# photos}}"
CHARACTERS = "  {n, plural, one {# typed character} other {# typed characters}}"
MINUTES = "  {n, plural, one {# minute of waiting} other {# minutes of waiting}}"
HEAVIEST = "  The heaviest steps, by touches, holds and characters:"
HEAVY_STEP = "    {hand} at {step}"
