"""What `twoturns/cli/devices.py` says."""

REVOKED = "{device} ({role}) is revoked."
SHUT_OUT = "{device} ({role}) is shut out: nothing more is taken from it."
SPEAKS_FOR = "{device} ({role}) speaks for: {on_it}"
HIGHER_ROLE = "{person} has a higher role: the device does not speak for it"
HELD_SUMMARY = (
    "{device}  {entries, plural, one {{entries} entry} other {{entries} entries}} in "
    "{jobs, plural, one {{jobs} job} other {{jobs} jobs}}, {bytes} bytes, last "
    "{last_received}"
)
NOTHING_HELD_BACK = "Nothing is held back."
NOT_OF_DEVICE = (
    "{strange} is not {held, select, true {held back} other {an entry}} of this device. "
    "See: twoturns held {device}"
)
DEVICE_HOLDS_NOTHING = "nothing is held back of {device}. See: twoturns held"
NO_DEVICE = "no device starts with {start}. Name one of these:{names}"
SEVERAL_DEVICES = "several devices start with {start}. Name one of these:{names}"
RULED = (
    "{n, plural, one {{n} entry} other {{n} entries}} of {device} "
    "{accepted, select, true {accepted: all are given it} other {refused}}."
)
