"""What `twoturns/cli/procedure/preview.py` says."""

NAME = "Author"
SERVED = (
    "Open this in a browser profile or private window of its own. Ctrl-C ends it, and nothing is "
    "left:\n\n    {link}\n"
)
SHOWN = "Saved {n} stands at: {step}"
STOPPED = "Saved {n} is on the phone, and could not be done further: {error}"
THE_END = "its end"
