"""What `twoturns/bag/contents.py` says."""

NO_PRIVATE_VALUE = "[its bytes are no private value]"
NOT_IN_BAG = "[not in this bag]"
HIDDEN = {
    "withheld": "withheld{explained, select, true {: {reason}} other {}}",
    "erased": "erased{explained, select, true {: {reason}} other {}}",
    "absent": (
        "not received by the workshop when the bag was made"
        "{explained, select, true {: {reason}} other {}}"
    ),
    "copy": "a copy without position, not proven{explained, select, true {: {reason}} other {}}",
    "disclosed": "shown{explained, select, true {: {reason}} other {}}",
}
IN_ITS_PLACE = "[{why}]"
