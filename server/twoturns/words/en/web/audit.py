"""What `twoturns/web/audit.py` says."""

NAME_VIN_PLATE_LOT_TOOL = "Name one of vin, plate, lot, tool."
DEVICE_MAY_NOT_ASK = "this device may not ask by {key}"
