"""What `twoturns/web/bag.py` says."""

MAY_NOT_READ_ALL = "this device may not read all that would be disclosed"
