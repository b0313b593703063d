"""What `twoturns/store/move.py` says."""

NO_WORKSHOP = "{folder} holds no workshop that can be moved"
NO_WORKSHOP_HINT = "Name the workshop's folder with --data, and where there are many, --workshop."
WORKSHOP_OPEN = "the workshop in {folder} is open: it is served, or another command is at it"
WORKSHOP_OPEN_HINT = (
    "Stop twoturns serve on every machine, and move it then. Phones keep what they have meanwhile, "
    "and send it afterwards."
)
OTHER_LEDGER_THERE = "at the new place there is a ledger that this one did not grow from"
OTHER_LEDGER_THERE_HINT = (
    "Name another place, or another schema. Nothing was changed there, and the workshop is where "
    "it was."
)
