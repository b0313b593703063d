"""What `twoturns/bag/assess.py` says."""

JOB_NEVER_OPENED = "no entry in the bag opens the job"
