"""What `twoturns/cli/demo.py` says."""

DEMO_APP_ASKS_COMPARE = (
    "{store_name}, a demo in {folder}. The app asks to compare this fingerprint:\n"
)
BELONGS_SOMEBODY_ELSE = "{folder} belongs to somebody else"
NAME_FOLDER_YOUR_OWN_DATA = "Name a folder of your own with --data."
TRY = {
    "mechanic": (
        "open the job that is halfway: a question of the owner's stands first, and the next "
        "key is the pointer. Then open a job of your own."
    ),
    "owner": "see what needs eyes first: one job waits with a redo and a passed rule.",
    "auditor": (
        "find plate TBR 0412, trace it, take its evidence away, and check the file with "
        "twoturns verify."
    ),
}
