"""What `twoturns/store/prove_draft.py` says."""

TOO_MUCH_MEMORY = "the check was ended: it took more than {mib} MiB"
TOO_LONG = "the check was ended: it took too long"
SMALLER = (
    "Look for conditions that need not be told apart, and for steps that need no way back of their "
    "own: each multiplies what must be gone through."
)
