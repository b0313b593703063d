"""What `twoturns/demo/workshop.py` says."""

HOLDS_SOMETHING_NO_DEMO = "{folder} holds something that is no demo"
NAME_ANOTHER_FOLDER_DATA_STAYS = (
    "Name another folder with --data: what is in this one stays as it is."
)
