"""What `twoturns/cli/scrub.py` says."""

PUT_BACK = ", and was put back from the backup"
READ_THROUGH = (
    "{data}: {read, plural, one {{read} photo or value} other {{read} photos and "
    "values}} read through."
)
DAMAGE_FOUND = (
    "{left, plural, one {{left} finding} other {{left} findings}}; see above. What is "
    "altered or missing is asked back of the phones that may have it; or name a backup "
    "with --from."
)
NO_BACKUP = "{backup} holds no backup"
NO_BACKUP_HINT = "Name the folder that was given to: twoturns backup"
DAMAGE = {
    "altered": "altered on the disk",
    "missing": "missing on the disk",
    "mistyped": "not the kind of image that its entry calls it",
    "misshown": (
        "whole, but its thumbnail was of something else, and was made anew: somebody wrote "
        "in the folder"
    ),
}
