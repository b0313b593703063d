"""What `twoturns/store/draft_drive.py` says."""

TOO_MANY_WHEELS = "the drive has more than {most} wheels"
TOO_MANY_WHEELS_HINT = "Take out those that this belt does not run on."
NO_DRIVE = "the source has no drive"
NO_DRIVE_HINT = "Write 'drive:' with its belt and its wheels, or begin with an engine as measured."
