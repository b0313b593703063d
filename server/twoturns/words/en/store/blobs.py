"""What `twoturns/store/blobs.py` says."""

NOT_SHA256 = "not a sha256: {sha256}"
