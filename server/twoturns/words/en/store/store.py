"""What `twoturns/store/store.py` says."""

HOLDS_NO_WORKSHOP = "{folder} holds no workshop"
HOLDS_NO_WORKSHOP_HINT = "Name the folder with --data, or make a workshop with: twoturns init"
HALF_MADE = "{folder} holds a workshop that was not made to its end"
HALF_MADE_HINT = "Nothing is in it yet: remove the folder, then make it with: twoturns init"
NOT_EMPTY = "{folder} is not empty"
NOT_EMPTY_HINT = "Name a new folder: what is in this one stays as it is."
UNKNOWN_EDITION = "{folder} is a workshop of edition {edition}; this program knows {known}"
