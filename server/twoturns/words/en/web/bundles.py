"""What `twoturns/web/bundles.py` says."""

NO_SUCH_BUNDLE = "no such bundle"
