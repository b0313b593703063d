"""What `twoturns/bag/verify.py` says."""

NOT_FROM_LEDGER = "Whoever made this bag did not take it from the ledger as it is. {again}"
OTHER_EDITION_HINT = (
    "This program makes another, so it was not checked. Read this one instead: the page "
    "made now, with --report FILE."
)
NOTHING_LEFT_OUT = (
    "the bag holds every entry of the job that the workshop held, and every statement "
    "and neighbour that the workshop put beside them"
)
SAME_LEDGER = "The ledger is the very one of the checkpoint that was kept"
GREW_OUT_OF = "The ledger of {size} records grew out of the one whose head is {code}"
THE_FILE = "the file itself"
JOB_NEVER_OPENED = "no record opens the job {job}"
WORKSHOP_KNOWN = "The workshop is the one whose fingerprint is known"
UNREAD_RECORDS = (
    "What records {unread} say: a newer program wrote them. They stand in the ledger as "
    "they are here; update this program to have them judged"
)
RECORD = "record {index}: {fact}"
OTHER_WORKSHOP = "it is of another workshop, {workshop}"
DEVICE_NOT_INVITED = "no invitation in the bag leads to device {device}"
DEVICE_DID_NOT_SIGN = "the key of device {device} did not sign it"
RECORDS_SIGNED = (
    "{records} records are signed by {devices} keys, and each key goes back, by "
    "invitations, to the first key of workshop {workshop}"
)
KEY_RECOVERED = (
    "The workshop's key was recovered by the key on paper: what an earlier one stated "
    "from record {size} up to record {index} does not count here"
)
UNPROVEN_KEY = (
    "That nobody else had the workshop's key when this bag was made: a recovery since "
    "then would stand in a newer bag only."
)
OTHER_FINGERPRINT = "the bag is of workshop {workshop}, the fingerprint given is {key}"
BLOBS_AS_SIGNED = "{signed} photos and private values have the bytes that were signed"
OTHER_PROCEDURE = "its hash is {found}, the job was opened with {signed}"
PROCEDURE_AS_OPENED = "The procedure is the one the job was opened with, to the byte"
NO_WORKSHOP_KEY = "the bag holds no key of the workshop"
PATHS_OF_OTHER_SIZE = "its paths lead to {here} records, the checkpoint has {size}"
RECORD_WITHOUT_PATH = "there is no path for record {index}"
RECORD_NOT_IN_LEDGER = "record {index} is not in the ledger that the checkpoint is of"
PATH_WITHOUT_RECORD = "there is a path for record {index}, and no such record"
RECORDS_IN_LEDGER = (
    "The records stand in a ledger of {size} records whose head {head_code} the "
    "workshop's key signed"
)
NOT_SIGNED = "no key of this workshop signed it"
NOT_SIGNED_HINT = "Compare another one."
AS_OF = "As of {made_on}, at {size} records: {nothing_left_out}"
DESCRIPTION_RIGHT = "The bag's own description is right"
PHOTOS_NOT_MEASURED = (
    "Whether {photos, plural, one {# photo is} other {# photos are}} as sharp as "
    "{photos, plural, one {its phone} other {their phones}} said: that decodes them all and takes "
    "its time. Ask for it with --photos"
)
PHOTOS_SHARP = "{same} photos measured anew are as sharp as their phones said"
UNPROVEN_SHARPNESS = (
    "That the photo {name} of step {step} is as sharp as its phone said: measured anew it is not."
)
OTHER_EDITION = "{account} is of edition {edition}. {read_this}"
ACCOUNT_WRONG = "it does not say what the records come to"
ACCOUNT_WRONG_HINT = (
    "Do not go by it. The page made now, with --report FILE, is made of the records."
)
ACCOUNT_RIGHT = "The account says what the records come to"
REPORT_RIGHT = "The report says what the records say"
OTHER_FORM = "{report} is of form {form}. {read_this}"
REPORT_WRONG_HINT = "Do not go by it. Write the report anew from the records, with --report FILE."
DESCRIPTION_WRONG = "it does not describe what is in the bag"
# Of the page that checks bags in a browser.
NEWER_PROCEDURE = "The procedure: only a newer program knows its form"
ACCOUNT_NOT_MADE = (
    "What account and page for people say: they are not made anew here. If all else holds, they "
    "are the ones that the workshop signed. twoturns verify makes both anew"
)
