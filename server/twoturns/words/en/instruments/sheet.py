"""What `twoturns/instruments/sheet.py` says."""

TAKE_READING_ANEW = "Take the reading anew."
SHEET_READING_NOT_FORM = "The sheet of this reading has not its form."
SHEET_EDITION_KNOWN_HERE = "The sheet is of edition {told}; {edition} is known here."
VERIFY_VERSION_KNOWS = "Verify with the version that knows it."
