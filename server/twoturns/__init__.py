"""Two Turns: evidence and order of work for the timing-belt job."""

__version__ = "0.1.0"
