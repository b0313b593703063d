"""What `twoturns/web/audit.py` says."""

NAME_ONE_KEY = "Name one of vin, plate, lot, tool."
MAY_NOT_ASK_BY = "this device may not ask by {key}"
