"""What `twoturns/procedure/machine/log.py` says."""

ENTRIES_NAME_EACH_CIRCLE_THEIR = (
    "entries name each other in a circle: their ids are not their hashes"
)
