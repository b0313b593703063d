"""What `twoturns/procedure/prove/gaps.py` says."""

NO_GAP_ACCEPTED = "no gap can be accepted at {listed}"
NO_GAP_ACCEPTED_HINT = (
    "What they prove is asked for later. Where the owner must be able to accept that "
    "something is missing, let nothing need it, or give it a step of its own."
)
