"""What `twoturns/bag/tell.py` says."""

ENGINE_CODE = "Engine code"
ITS_HASH = "Its hash"
VIN = "VIN"
PLATE = "Plate"
TELEPHONE = "telephone"
CUSTOMER = "Customer"
ODOMETER = "Odometer"
BAY = "Bay"
OPENED = "Opened"
OPENED_AT = "{at}, received {received}"
PROCEDURE = "Procedure"
TITLE = "{vehicle}{shown, select, true {, {plate}} other {}}"
WHO = "{name} ({role})"
PROCEDURE_SAID = "{procedure}{withdrawn, select, true {; withdrawn: {because}} other {}}"
DEVICE = "Device {device}"
PERSON = "person {person}"
UNKNOWN = "unknown"
OPEN = "Open."
CLOSED = "Closed as {end}{changed, select, true {, then changed} other {}}."
APPROVED = {
    "approved": "Approved by the owner.",
    "changed": "Approved by the owner, then changed.",
    "no": "Not approved.",
}
FLAGGED = (
    "{fact}{named, select, true { ({name})} other {}}"
    "{beside, select, true { (entry {other})} other {}}: {says}. {means}"
)
FOUND = "{placed, select, true {{where}: } other {}}{says}: {what}"
CODE_NAMES_LOT = "the code that was read names {named, select, true {lot {lot}} other {no lot}}"
LOT_RECALLED = (
    "lot {lot} is recalled: {because}.{borne, select, true { The owner took it over.} "
    "other {}}{followed, select, true { The owner says that it was replaced since.} other {}}"
)
TOOL_FOUND_OUT = (
    "{tool} was found out on {on}, at a check. {known, select, true {This came out as {actual} "
    "{unit}, outside the limits of then} other {Whether this is within its limits nobody can say: "
    "its setting is outside of what was checked, or no limits were asked for}}."
    "{settled, select, true { The owner says that this is settled.} other {}}"
)
SHOWN_BEFORE = (
    "the very same {photo, select, true {photo} other {recording}} stands in record {index}"
    "{here, select, true {} other { of another job}}"
)
PHOTO = "{shown}; {how}, {who}, {at}"
SIGNED = "{hidden, select, true {{why} } other {}}{who}, {at}"
RUN = "{first} to {last}"
SEQ_OF = "{seq} of {device}"
STEPS_HOLD = "{count} of {must} steps hold."
TOOLS_STILL_OUT = "Tools still out: {tools}."
QUESTIONS_OPEN = "Questions without an answer: {questions}."
THE_WORKSHOP = "the workshop"
PROCEDURE_WITHDRAWN = "its procedure was withdrawn: {because}"
NOT_IN_BAG = "not in this bag"
ORIGINAL = "original, {size} bytes, hash {blob}"
TAKEN_IN_APP = "taken in the app"
PICKED = "picked from the phone's pictures"
PART = "{says}{recalled, select, true {. This lot is recalled: {because}} other {}}"
NOT_REGISTERED = "not registered"
CHECKED = (
    "found {good, select, true {within its limits} other {outside of its limits}} on {on}: {found} "
    "{unit}"
)
POINT = "{nominal} came out as {found}"
CALIBRATED_DUE = "calibrated on {on}, due {due}"
SAID_TO_BE = (
    "{role}, said to be {persons}{is_enrolled, select, true {; enrolled by record {enrolled_at}} "
    "other {}}{is_revoked, select, true {, revoked by record {revoked_at}} other {}}"
)
UNPROVEN_STEPS = "That these steps were done as they should: {not_done}."
UNPROVEN_PUBLICATION = (
    "That the workshop ever published the procedure of this job: no statement in the bag "
    "says so, and by a procedure of one's own making anything can be right."
)
UNPROVEN_UNREAD = (
    "What {count, plural, one {an entry says that is} other {{count} entries say that are}} not "
    "judged, newer than this program: {named}."
)
UNPROVEN_MISSING = (
    "What stands in {count, plural, one {an entry} other {{count} entries}} that others follow, "
    "{whole, select, true {lacking in the workshop} other {not here}}: {named}."
)
UNPROVEN_EARLIER = (
    "What devices wrote before entries of the job, "
    "{whole, select, true {lacking in the workshop} other {not here}}: number {said}."
)
UNPROVEN_MEASUREMENTS = (
    "What instruments measured, where what they saw is not in this bag: {named}."
)
UNPROVEN_TIMES = (
    "When something was done. Until it was received only the device's own clock says so: "
    "the order is sure, the hour is not."
)
UNPROVEN_HANDS = "Who held the device. A key was used; whose hand it was is a person's word."
UNPROVEN_TRUTH = (
    "That it was so. The bag shows what was asserted, and that nobody changed it since."
)
UNPROVEN_SAME_LEDGER = (
    "That everyone is shown the same ledger. Compare its head with one on paper, or ask "
    "the workshop how the ledger grew from a checkpoint kept before."
)
UNPROVEN_COPIES = (
    "What {copies, plural, one {a photo showed when it was taken: it is a copy} other {{copies} "
    "photos showed when they were taken: they are copies}} without position, and "
    "{copies, plural, one {its bytes} other {their bytes}} are not those that were signed."
)
UNPROVEN_NOT_RECEIVED = (
    "What never reached the workshop, or came to it later: all that it held of the job "
    "in the first {size} records of its ledger is here, and no more can be shown."
)
UNPROVEN_COMPLETENESS = (
    "That nothing of the job was left out, or came later: the bag has no head of the "
    "job. It was made of the first {size} records of the ledger, by who exported it."
)
UNPROVEN_STATEMENTS = (
    "That no statement of the workshop was left out that speaks against this: a device "
    "revoked, a lot recalled, a procedure withdrawn, a second entry under one number."
)
OTHERWISE = (
    "{whose, select, workshop {This workshop takes it otherwise} other {The maker says otherwise}}"
)
MAKERS_WORD = (
    "Asked for in this job: {holds}. {is_less, select, true {No longer asked for: {gone}. } "
    "other {}}The {whose}'s words: {says} {why} Never {never}. "
    "In place of the house rule: never {house}. "
    "Source: {document}, edition {edition}, {page}, {date}."
)
FINDING = {
    "finding-open": (
        "{state, select, agreed {the customer said yes, and it is not put right} "
        "unsure {a yes and a no stand beside each other} "
        "other {the customer has not decided}}"
    ),
    "finding-refused": "the customer said no",
    "finding-offered": "nobody noted what became of it",
}
CERTIFICATE = "Certificate of {tool}, of {on}"
PERMIT = "Permit of {person}: {permit}"
PERMIT_DAYS = (
    "given on {on}{has_end, select, true {, until {until}} other {}}"
    "{is_ended, select, true {; ended: {because}} other {}}"
)
CUSTOMER_SIGNED = "the customer's word on what was found"
