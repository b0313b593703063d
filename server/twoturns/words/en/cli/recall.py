"""What `twoturns/cli/recall.py` says."""

NONE = "Nothing is recalled, and no tool was found out."
NONE_OF = "Neither a recall nor a check that found a tool out is of {name}."
LOT = (
    "Lot {name}: {n, plural, one {# vehicle} other {# vehicles}}, {left} to do"
    "{dated, select, true {, by {until}} other {}}"
)
TOOL = (
    "{name}, found out on {on}: {n, plural, one {# vehicle} other {# vehicles}}, {left} to do"
    "{dated, select, true {, by {until}} other {}}"
)
TO_DO = "to do"
DONE = "done"
WRITTEN = "{out}: {n, plural, one {# row} other {# rows}}. It holds names and telephones."
