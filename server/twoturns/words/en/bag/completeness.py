"""What `twoturns/bag/completeness.py` says."""

SOMEBODY_TOOK_OUT_AFTER = "Somebody took it out after the workshop had made the bag. "
BAG_NO_HEAD_JOB_NOTHING = (
    "the bag has no head of the job, so nothing shows what was left out of it: "
    "completeness not proven"
)
ASK_WORKSHOP_NEW_BAG_SINCE = "Ask the workshop for a new bag: since edition 2 each has one, signed."
WORKSHOP_MAKES_EACH_BAG_HERE = "the workshop makes one with each bag, and here is none"
BAG_DOES_NOT_HOLD_FILE = "the bag does not hold this file"
NO_HEAD_JOB_WORKSHOPS_KEY = "it is no head of a job that the workshop's key signed"
FILES_NOT_THOSE_WORKSHOP_MADE = "its files are not those of which the workshop made this bag"
IT_IS_OF_JOB = "it is of job {job}"
LEDGER_RECORDS_NOT_CHECKPOINTS = "it is of a ledger of {size} records, and not of the checkpoint's"
IT_WAS_MADE_ON = "it was made on {made_on}"
NOT_LIST_HEAD = "it is not the list that the head is of"
ENTRIES_JOB = "entries of the job"
STATEMENTS_NEIGHBOURS = "statements and neighbours"
ENTRY_JOB = "entry of the job"
STATEMENT_NEIGHBOUR = "statement or neighbour"
HEAD_HERE_NOT_THOSE = "the head is of {size} {of}, here are {held}, and not those"
RECORD_HELD_WORKSHOP_NOT_HERE = (
    "record {index}, the {what} {name}, was held by the workshop and is not here"
)
RECORD_HERE_NOT_WORKSHOPS_HEAD = (
    "record {index}, the {what} {name}, is here and not in the workshop's head"
)
