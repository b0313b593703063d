"""What `twoturns/procedure/machine/log.py` says."""

ENTRIES_CIRCULAR = "entries name each other in a circle: their ids are not their hashes"
