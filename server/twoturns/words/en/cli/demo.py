"""What `twoturns/cli/demo.py` says."""

DEMO_SERVED = "{store_name}, a demo in {folder}. The app asks to compare this fingerprint:\n"
THREE_DOORS = "Open this page. It has three doors for one browser, and a look round in two minutes:"
NOT_OURS = "{folder} belongs to somebody else"
NOT_OURS_HINT = "Name a folder of your own with --data."
WHAT_TO_TRY = {
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
