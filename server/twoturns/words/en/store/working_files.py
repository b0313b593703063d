"""What `twoturns/store/working_files.py` says."""

READS_OTHERWISE = "{path} is not read as it was written"
READS_OTHERWISE_HINT = "Its disk is failing. Take another one."
