"""What `twoturns/store/gather.py` says."""

CHECKPOINT_KEPT_NOT_LEDGER = "the checkpoint that was kept is not of this ledger"
TAKE_WORKSHOP_SIGNED_IF_DID = (
    "Take one that this workshop signed. If it did sign this one, its ledger is no "
    "longer what it was then: keep the checkpoint and do not go by the bag."
)
THERE_NO_SUCH_JOB = "there is no such job"
TAKE_JOBS_ID_LIST_JOBS = "Take the job's id from the list of jobs."
PROCEDURE_JOB_NOT_WORKSHOP = "the procedure of the job, {bundle}, is not in the workshop"
PUBLISH_VERY_EDITION_JOB_OPENED = (
    "Publish the very edition the job was opened with, then export again."
)
ERASURE_ORDERED = "its erasure has been ordered"
CALLED_PHOTO_SHEET_PRIVATE = "it is called a photo or a sheet, and is a private value"
BYTES_NO_PHOTO_ANY_KIND = "its bytes are no photo of any kind; an owner can fetch them alone"
NO_SHEET = "it is no sheet"
PEOPLE_MAY_HEARD = "people may be heard on it"
ASK_ORIGINALS = "{why}; ask for the originals"
NO_COPY_CAN_MADE_ASK = "no copy can be made of it; ask for the originals"
BYTES_NO_PRIVATE_VALUE = "its bytes are no private value"
BELONGS_ANOTHER_JOB = "it belongs to another job"
NO_ENTRY_SHOWN_SAYS_BELONGS = "no entry that is shown says that it belongs to this job"
