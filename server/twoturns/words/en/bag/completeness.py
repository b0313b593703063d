"""What `twoturns/bag/completeness.py` says."""

TAKEN_OUT = "Somebody took it out after the workshop had made the bag. {again}"
NO_HEAD = (
    "the bag has no head of the job, so nothing shows what was left out of it: "
    "completeness not proven"
)
NO_HEAD_HINT = "Ask the workshop for a new bag: since edition 2 each has one, signed."
HEAD_MISSING = "the workshop makes one with each bag, and here is none"
FILE_MISSING = "the bag does not hold this file"
HEAD_NOT_SIGNED = "it is no head of a job that the workshop's key signed"
OTHER_FILES = "its files are not those of which the workshop made this bag"
OTHER_JOB = "it is of job {job}"
OTHER_LEDGER = "it is of a ledger of {size} records, and not of the checkpoint's"
OTHER_DAY = "it was made on {made_on}"
OTHER_LIST = "it is not the list that the head is of"
ENTRIES_DIFFER = "the head is of {size} entries of the job, here are {held}, and not those"
OTHERS_DIFFER = "the head is of {size} statements and neighbours, here are {held}, and not those"
LEFT_OUT = (
    "record {index}, the {job, select, true {entry of the job} other {statement or neighbour}} "
    "{name}, was held by the workshop and is not here"
)
PUT_IN = (
    "record {index}, the {job, select, true {entry of the job} other {statement or neighbour}} "
    "{name}, is here and not in the workshop's head"
)
