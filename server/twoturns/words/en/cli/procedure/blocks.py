"""What `twoturns/cli/procedure/blocks.py` says."""

FULL_OF_ONE = "name one block with --full: twoturns procedure blocks engine_mount --full"
NO_SUCH_BLOCK = "there is no block ''{name}'"
BLOCK = "{id}, edition {edition}: {name}"
WITHDRAWN = "  Edition {edition} is withdrawn: {because}"
MADE_WITH = "  Edition {block_edition} is in: {name}, edition {edition}, bundle {bundle}"
MADE_WITH_WITHDRAWN = (
    "  Withdrawn edition {block_edition} is in: {name}, edition {edition}, bundle {bundle}"
)
FILL_IN = "  To be filled in:"
ASKED = "    {word} ({kind}{may, select, true {, may be left out} other {}}): {says}"
STEPS = "  Its steps:"
