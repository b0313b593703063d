"""What `twoturns/cli/devices.py` says."""

IS_REVOKED = "{device} ({role}) is revoked."
SHUT_OUT_NOTHING_MORE_TAKEN = "{device} ({role}) is shut out: nothing more is taken from it."
SPEAKS_FOR = "{device} ({role}) speaks for: {on_it}"
HIGHER_ROLE_DEVICE_DOES_NOT = "{person} has a higher role: the device does not speak for it"
BYTES_LAST = (
    "{device}  {entries, plural, one {{entries} entry} other {{entries} entries}} in "
    "{jobs, plural, one {{jobs} job} other {{jobs} jobs}}, {bytes} bytes, last "
    "{last_received}"
)
NOTHING_HELD_BACK = "Nothing is held back."
HELD_BACK = "held back of"
AN_ENTRY_OF = "an entry of"
NOT_DEVICE_SEE_TWOTURNS_HELD = "{strange} is not {what} this device. See: twoturns held {device}"
NOTHING_HELD_BACK_SEE_TWOTURNS = "nothing is held back of {device}. See: twoturns held"
NO_DEVICE_STARTS = "no device starts"
SEVERAL_DEVICES_START = "several devices start"
NAME_THESE = "{what} with {start}. Name one of these:{names}"
RULED = (
    "{n, plural, one {{n} entry} other {{n} entries}} of {device} "
    "{accepted, select, true {accepted: all are given it} other {refused}}."
)
