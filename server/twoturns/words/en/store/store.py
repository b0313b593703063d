"""What `twoturns/store/store.py` says."""

HOLDS_NO_WORKSHOP = "{folder} holds no workshop"
NAME_FOLDER_DATA_MAKE_WORKSHOP = (
    "Name the folder with --data, or make a workshop with: twoturns init"
)
HOLDS_WORKSHOP_NOT_MADE_END = "{folder} holds a workshop that was not made to its end"
NOTHING_YET_REMOVE_FOLDER_THEN = (
    "Nothing is in it yet: remove the folder, then make it with: twoturns init"
)
NOT_EMPTY = "{folder} is not empty"
NAME_NEW_FOLDER_STAYS = "Name a new folder: what is in this one stays as it is."
WORKSHOP_EDITION_PROGRAM_KNOWS = (
    "{folder} is a workshop of edition {edition}; this program knows {known}"
)
