"""What `twoturns/web/seen.py` says."""

MUST_SIZE_ROOT_ROOT_BASE = "{header} must be SIZE ROOT, the root in base64"
