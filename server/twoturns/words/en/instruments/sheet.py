"""What `twoturns/instruments/sheet.py` says."""

TAKE_ANEW = "Take the reading anew."
BAD_SHEET = "The sheet of this reading has not its form."
OTHER_EDITION = "The sheet is of edition {told}; {edition} is known here."
OTHER_EDITION_HINT = "Verify with the version that knows it."
