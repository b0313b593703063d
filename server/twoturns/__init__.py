"""Two Turns: evidence and order of work for the timing-belt job."""
