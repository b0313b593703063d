"""What `twoturns/cli/procedure/check.py` says."""

WATCHING = "\nChecked again at each save. Ctrl-C ends it."
WATCHED_BY_PEOPLE = "--watch is for people, and --json for programs: give one of them"
