"""What `twoturns/cli/enrol.py` says."""

LINK_LIFETIME = "Good for one device, for {minutes} minutes. Whoever has the link gets in."
