"""What `twoturns/cli/enrol.py` says."""

GOOD_DEVICE_MINUTES_WHOEVER = (
    "Good for one device, for {minutes} minutes. Whoever has the link gets in."
)
