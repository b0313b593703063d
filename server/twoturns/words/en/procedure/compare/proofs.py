"""What `twoturns/procedure/compare/proofs.py` says."""

ASKED_ANEW = "asks now for {proof}"
NO_LONGER_ASKED = "no longer asks for {proof}"
ANOTHER_ORDER = "asks for its proofs in another order: {order}"
NAMED = "''{label}' ({kind})"
NAMED_WITH_FIGURES = "{said}: {figures}"
FIELD = {
    "kind": "kind of proof",
    "by": "way to take it",
    "of": "what is counted",
    "part": "part",
    "wheel": "wheel",
    "like": "figure beside it",
    "tool": "tool to name",
    "label": "label",
    "hint": "hint",
}
ANSWER_NEW = "an answer more: {answer}"
ANSWER_GONE = "an answer less: {answer}"
ANSWER_OTHERWISE = "the answer {was} is now {now}"
GOOD = (
    "''{says}' (proves it{finding, select, true {, a finding} other {}}"
    "{permit, select, none {} other {, by permit {permit}}})"
)
BAD = (
    "''{says}' (does not prove it{finding, select, true {, a finding} other {}}"
    "{permit, select, none {} other {, by permit {permit}}})"
)
