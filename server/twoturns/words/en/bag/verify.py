"""What `twoturns/bag/verify.py` says."""

WHOEVER_MADE_BAG_DID_NOT = "Whoever made this bag did not take it from the ledger as it is. "
PROGRAM_MAKES_ANOTHER_NOT = (
    "This program makes another, so it was not checked. Read this one instead: the page "
    "made now, with --report FILE."
)
BAG_HOLDS_EVERY_ENTRY_JOB = (
    "the bag holds every entry of the job that the workshop held, and every statement "
    "and neighbour that the workshop put beside them"
)
LEDGER_VERY_CHECKPOINT_KEPT = "The ledger is the very one of the checkpoint that was kept"
LEDGER_RECORDS_GREW_OUT_WHOSE = (
    "The ledger of {size} records grew out of the one whose head is {code}"
)
FILE_ITSELF = "the file itself"
NO_RECORD_OPENS_JOB = "no record opens the job {job}"
WORKSHOP_WHOSE_FINGERPRINT = "The workshop is the one whose fingerprint is known"
RECORDS_SAY_NEWER_PROGRAM_WROTE = (
    "What records {unread} say: a newer program wrote them. They stand in the ledger as "
    "they are here; update this program to have them judged"
)
ANOTHER_WORKSHOP = "it is of another workshop, {workshop}"
NO_INVITATION_BAG_LEADS_DEVICE = "no invitation in the bag leads to device {device}"
KEY_DEVICE_DID_NOT_SIGN = "the key of device {device} did not sign it"
RECORDS_SIGNED_KEYS_EACH_KEY = (
    "{records} records are signed by {devices} keys, and each key goes back, by "
    "invitations, to the first key of workshop {workshop}"
)
WORKSHOPS_KEY_RECOVERED_KEY = (
    "The workshop's key was recovered by the key on paper: what an earlier one stated "
    "from record {size} up to record {index} does not count here"
)
NOBODY_ELSE_WORKSHOPS_KEY_WHEN = (
    "That nobody else had the workshop's key when this bag was made: a recovery since "
    "then would stand in a newer bag only."
)
BAG_WORKSHOP_FINGERPRINT_GIVEN = "the bag is of workshop {workshop}, the fingerprint given is {key}"
PHOTOS_PRIVATE_VALUES_BYTES = "{signed} photos and private values have the bytes that were signed"
HASH_JOB_OPENED = "its hash is {found}, the job was opened with {signed}"
PROCEDURE_JOB_OPENED_BYTE = "The procedure is the one the job was opened with, to the byte"
BAG_HOLDS_NO_KEY_WORKSHOP = "the bag holds no key of the workshop"
PATHS_LEAD_RECORDS_CHECKPOINT = "its paths lead to {here} records, the checkpoint has {size}"
THERE_NO_PATH_RECORD = "there is no path for record {index}"
RECORD_NOT_LEDGER_CHECKPOINT = "record {index} is not in the ledger that the checkpoint is of"
THERE_PATH_RECORD_NO_SUCH = "there is a path for record {index}, and no such record"
RECORDS_STAND_LEDGER_RECORDS = (
    "The records stand in a ledger of {size} records whose head {head_code} the "
    "workshop's key signed"
)
NO_KEY_WORKSHOP_SIGNED = "no key of this workshop signed it"
COMPARE_ANOTHER = "Compare another one."
AS_OF_AT_RECORDS = "As of {made_on}, at {size} records: {nothing_left_out}"
BAGS_OWN_DESCRIPTION_RIGHT = "The bag's own description is right"
PHOTOS_MEASURED_ANEW_SHARP = "{same} photos measured anew are as sharp as their phones said"
PHOTO_STEP_SHARP_PHONE_SAID = (
    "That the photo {name} of step {step} is as sharp as its phone said: measured anew it is not."
)
IS_OF_EDITION = "{account} is of edition {edition}. {read_this}"
DOES_NOT_SAY_RECORDS_COME = "it does not say what the records come to"
DO_NOT_GO_PAGE_MADE = (
    "Do not go by it. The page made now, with --report FILE, is made of the records."
)
ACCOUNT_SAYS_RECORDS_COME = "The account says what the records come to"
REPORT_SAYS_RECORDS_SAY = "The report says what the records say"
IS_OF_FORM = "{report} is of form {form}. {read_this}"
DO_NOT_GO_WRITE_REPORT = (
    "Do not go by it. Write the report anew from the records, with --report FILE."
)
DOES_NOT_DESCRIBE_BAG = "it does not describe what is in the bag"
