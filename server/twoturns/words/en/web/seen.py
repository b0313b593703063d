"""What `twoturns/web/seen.py` says."""

NOT_SIZE_AND_ROOT = "{header} must be SIZE ROOT, the root in base64"
