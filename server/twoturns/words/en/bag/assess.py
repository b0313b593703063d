"""What `twoturns/bag/assess.py` says."""

NO_ENTRY_BAG_OPENS_JOB = "no entry in the bag opens the job"
