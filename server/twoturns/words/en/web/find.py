"""What `twoturns/web/find.py` says."""

NAME_ONE_KEY = "Name one of vin, plate, lot, tool, code."
MAY_NOT_ASK_BY = "this device may not ask by {key}"
