"""What `twoturns/procedure/blocks/begin.py` writes for an author to go on with."""

IN_ORDER_OF_WORK = "in the order of the work; a maker's goes before it"
MAY_BE_LEFT_OUT = "{says}; may be left out"
NAME_LEFT_OPEN = "''{word}' in {steps}: write there what you fill in under that name"
STANDS_WHERE = "{step}: put it in, phase {phase}, where ''{word}' is filled in and not ''no'"
STANDS_WHERE_NOT = "{step}: take it out where ''{word}' is filled in and not ''no'"
OWN_WORDS = """\
# every tool that you name above, if no block brings it: pins, keys, wrenches with their range
# crank_pin: {a}label: crank pin, outline: pin, tag: CP{b}
# small_wrench: {a}label: small wrench, outline: torque_wrench, low: 5, high: 25, unit: N·m{b}
tools: {a}{b}

# what the house rules ask for and this engine does not have, with the reason: check names each
# pump_lock: The belt drives no fuel pump.
absent: {a}{b}"""
