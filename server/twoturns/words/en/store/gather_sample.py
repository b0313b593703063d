"""What `twoturns/store/gather_sample.py` says."""

NO_SUCH_SAMPLE = "no sample was drawn by this freeze"
NO_SUCH_SAMPLE_HINT = (
    "Take the id from the page of samples. The auditor freezes a list there and gives a word."
)
