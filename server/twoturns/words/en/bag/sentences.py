"""What `twoturns/bag/sentences.py` says."""

OPENED = "Opened: engine code {engine_code}, {odometer_km} km, bay {bay}"
FITTED = "{part} fitted, lot {lot}"
FITTED_WITH_SERIAL = "{part} fitted, lot {lot}, serial {serial}"
UNREAD = "Says what this program cannot read"
TAKEN_OVER = "Another person or device goes on with the job"
TOOL_OUT = "{tool} went into the engine bay"
TOOL_IN = "{tool} came back"
TOOL_LOST = "{tool} is lost{told, select, true {: {words}} other {}}"
OPENED_AGAIN = "Opened again{told, select, true {: {words}} other {}}"
READING_CORRECTED = "A reading corrected to {value}{told, select, true {: {words}} other {}}"
ASKED = "The owner asks{told, select, true {: {words}} other {}}"
ACCEPTED_UNPROVEN = (
    "The owner accepts that it was not proven{told, select, true {: {words}} other {}}"
)
RECALLED_PART_ACCEPTED = (
    "The owner takes over a recalled part{told, select, true {: {words}} other {}}"
)
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
