"""What `twoturns/cli/procedure/diff.py` says."""

HEAD = "{name}: edition {old} -> edition {new}"
NOTHING = "Nothing is another."
NEITHER_FOLDER_NOR_EDITION = (
    "{named} is no folder, and no published edition such as van_timing_drive@3"
)
EDITION_WITHOUT_WORKSHOP = "{named} is an edition of a workshop. Name its folder with --data"
NOT_PUBLISHED = "{id} has no edition {edition} here. Published: {known}"
NO_EDITION = "none"
TO_BE_TOLD = "To be told, for they have worked by it: {persons}"
NOBODY_TO_TELL = "Nobody who could go on has worked by it: nobody must be told."
OPEN_JOBS = (
    "{n, plural, =0 {No open job goes by it.} "
    "one {# open job goes on by its own edition, whatever is published:} "
    "other {# open jobs go on by their own edition, whatever is published:}}"
)
OPEN_JOB = "  {job}  edition {edition}, bay {bay}, since {begun}"
CLOSED_JOBS = (
    "{n, plural, =0 {No job by it is ended.} one {# job by it is ended.} "
    "other {# jobs by it are ended.}}"
)
