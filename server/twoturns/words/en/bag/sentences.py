"""What `twoturns/bag/sentences.py` says."""

DISTANCE = "{km} km{in_miles, select, true { (its dial shows {miles} miles)} other {}}"
OPENED = "Opened: engine code {engine_code}, {odometer}, bay {bay}"
ASKED_ABOUT = "A call was taken{told, select, true {: {words}} other {}}"
DUE = {
    "overdue": "The belt was overdue",
    "belt_unknown": "Nobody knew when the belt was changed last",
    "interval_unknown": "How long a belt may last was not known",
    "soon": "The belt was due soon",
    "later": "The belt was not due yet",
}
WARNED = "Warned in writing{told, select, true {: {words}} other {}}"
DECLINED = "The customer does not want the work{told, select, true {: {words}} other {}}"
FITTED = "{part} fitted, lot {lot}"
FITTED_WITH_SERIAL = "{part} fitted, lot {lot}, serial {serial}"
UNREAD = "Says what this program cannot read"
TAKEN_OVER = "Another person or device goes on with the job"
TOOL_OUT = "{tool} went into the engine bay"
TOOL_IN = "{tool} came back"
TOOL_LOST = "{tool} is lost{told, select, true {: {words}} other {}}"
OPENED_AGAIN = "Opened again{told, select, true {: {words}} other {}}"
READING_CORRECTED = "A reading corrected to {value}{told, select, true {: {words}} other {}}"
ASKED = (
    "The owner asks{about, select, true { about the photo of entry {photo}} other {}}"
    "{told, select, true {: {words}} other {}}"
)
ACCEPTED_UNPROVEN = (
    "The owner accepts that it was not proven{told, select, true {: {words}} other {}}"
)
RECALLED_PART_ACCEPTED = (
    "The owner takes over a recalled part{told, select, true {: {words}} other {}}"
)
FOLLOWED_UP = (
    "Followed up: {how, select, told {the customer was told} "
    "not_reached {the customer was not reached} answered {the customer answered} "
    "replaced {the part was replaced} retightened {it was tightened again} "
    "accepted {taken over as it is} other {{how}}}"
    "{told, select, true {: {words}} other {}}"
)
NOTICE_SETTLED = (
    "The owner settles what the workshop stated against it{told, select, true {: {words}} other {}}"
)
FINDING_NOTED = (
    "Found{named, select, true {: {offered}} other {}}{told, select, true {: {words}} other {}}"
)
CUSTOMER_SAID = "The customer says {answer} ({how}){told, select, true {: {words}} other {}}"
WAYS = {
    "call": "by call",
    "message": "by message",
    "signature": "signed on the glass",
    "there": "there and then",
}
FINDING_SETTLED = (
    "{done, select, true {What was found is put right} other {What was found asks for nothing}}"
    "{told, select, true {: {words}} other {}}"
)
EXTRA_ADDED = (
    "Extra work{told, select, true {: {words}} other {}}"
    "{parted, select, true {, part {part}} other {}}"
    "{timed, select, true {, {minutes} min} other {}}"
)
EXTRA_DONE = (
    "Extra work done{read, select, true {, {reading}} other {}}"
    "{told, select, true {: {words}} other {}}"
)
PLANNED = (
    "Planned{named, select, true { for person {person}} other {}}"
    "{promised, select, true {, promised for {at}} other {}}"
)
PARKED = (
    "Parked: {why}{parted, select, true {, {part}} other {}}"
    "{told, select, true {: {words}} other {}}"
)
REASONS = {
    "part": "a part is missing",
    "customer": "it waits for the customer",
    "other": "something else",
}
RESUMED = "Gone on with"
PAGE_SHARED = "Shown to the customer, on a page open until {until}: {rows}"
PAGE_ROW = "{name}: {says}"
PAGE_ENDED = "The customer's page is ended"
CLOSED_AS = "Closed as {end}{told, select, true {: {words}} other {}}"
STEP = "step {step}"
DONE = "Done"
DONE_PASSING = "Done, passing {rules}"
RULE_PASSED = "the rule {rule}{told, select, true {: {words}} other {}}"
RULE = "“never {never}”"
FAILED = "Failed: {failure}{told, select, true {: {words}} other {}}"
LOOKED = "Looked: {condition}: {value}"
NOTE = "Note"
NOTED = "{name}{told, select, true {: {words}} other {}}"
READING = "{name}: {reading}"
TOOL = "{tool} ({id})"
BEGUN = "Begun"
APPROVED = "Approved"
PHOTO = "Photo: {name}"
ANSWERED = "Answered{told, select, true {: {words}} other {}}"
ANEW = {
    "same": "computed anew from what it kept: the same",
    "differs": "computed anew from what it kept it is not the same: {found}",
    "refused": "computed anew from what it kept it gives no value ({found})",
    "other-edition": "of another edition of its instrument than is known here",
    "not-computed": "not computed anew: too many readings of the job were, before it",
    "way-not-asked": "the procedure does not let it be taken so",
    "seen-twice": "it names one thing that it saw twice",
    "nothing-kept": "nothing was kept of it",
    "too-large": "what it saw is larger than any instrument's",
    "sheet-unseen": "what it saw is not in this bag",
    "sounds-unseen": "the sounds it was computed from are not in this bag",
    "sheet-lacks": "its sheet lacks what it is computed from",
    "sheet-unread": "its sheet cannot be read",
    "stroke-unread": "one of its strokes is no sheet",
    "other-instrument": "its sheet is another instrument's",
    "no-number": "its value is no number",
    "other-window": "it was heard against another window than the procedure's",
    "other-photo": "it was measured on another photo than the reading names",
    "other-wheel": "it was measured on another wheel than the procedure's",
}
