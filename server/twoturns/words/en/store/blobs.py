"""What `twoturns/store/blobs.py` says."""

NOT_SHA = "not a sha256: {sha256}"
