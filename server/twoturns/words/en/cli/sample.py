"""What `twoturns/cli/sample.py` says."""

NO_SAMPLE = "this file holds no sample: take the file of a sample, not a bag of one job"
OTHER_WORKSHOP = "It is of workshop {workshop}, and not of the one that was given."
ANY_WORKSHOP = (
    "Any workshop could have made it: compare {workshop} with the fingerprint on paper, and give "
    "that with --key."
)
