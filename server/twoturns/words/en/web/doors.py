"""What `twoturns/web/doors.py` says."""

TITLE = "{name}: a workshop to try"
INVENTED = (
    "Everything in it is invented: makers, engines, people, parts and figures. Never work on a "
    "real engine by it: the vehicle maker's data come first, always."
)
COMPARE = (
    "Three people work here. Open all three doors in this one browser: each has an address of its "
    "own. A door first asks to compare a fingerprint with the paper. This is the paper:"
)
WHO = {
    "mechanic": "{name}, mechanic",
    "owner": "{name}, owner",
    "auditor": "{name}, auditor",
}
DOES = {
    "mechanic": "Works at the engine, by the phone. Make the window as narrow as one.",
    "owner": "Sees at the desk what needs eyes first, asks, and approves.",
    "auditor": "Looks what a job proves, and takes its evidence away.",
}
COME_IN = {
    "mechanic": "Come in as the mechanic",
    "owner": "Come in as the owner",
    "auditor": "Come in as the auditor",
}
AGAIN = "In already: open it again"
TOUR = "A look round, in two minutes"
STATIONS = {
    "join": (
        "Mechanic: come in, compare the fingerprint with the one above, tap “It is the "
        "same: join this workshop”. Make the window as narrow as a phone."
    ),
    "answer": (
        "Mechanic: tap TBR 2260. A wrench that worked in it was found out: hold “It is "
        "seen”. Then the owner asks about step 9: write an answer, and hold “Answer” "
        "until the paint has run down. What is held is signed."
    ),
    "refused": (
        "Mechanic: tap the band at the top, then “28 Tensioner nut”, then “Work on 28”. "
        "It is not its turn, and the screen says what comes first."
    ),
    "go_on": (
        "Mechanic: tap “Go to 27”. It shows the drive as it stands now: what to do, "
        "what to measure, and why. Work on as long as you like."
    ),
    "wrench": (
        "Owner: come in. A wrench that was found 9 % low stands first: tap “Follow it "
        "up”, and it says which bolts of which vehicles, and whom to call. Below it a "
        "lot that was called in."
    ),
    "redone": (
        "Owner: tap “Eyes first”, “TBR 1107: the job left a tool”, then “Open the job”: "
        "what did not hold at first and was done again, a tool that was lost, what the "
        "customer refused; below, each photo."
    ),
    "today": (
        "Owner: tap “Today”: what moved, who did it, what is promised. Then “Calls”, "
        "TBR 9157: whether it may be cranked, whether its belt is due, and what a quote "
        "needs."
    ),
    "bag": (
        "Auditor: come in, choose “Plate”, type TBR 0412, tap “Find” and the job. “Take "
        "the bag away” saves its evidence as one file."
    ),
    "verify": (
        "In a terminal: twoturns verify FILE proves that file without this server. "
        "Change one byte in it, and it is found."
    ),
}
NOT_FOUND = "A browser that does not find mechanic.localhost"
NOT_FOUND_HINT = (
    "Some browsers (Safari may be one) and some networks do not know names below localhost. Each "
    "person then comes in here, in a browser profile or a private window apart: open this page "
    "there, and press one of these keys."
)
CROSS_SITE = "this door is opened from the demo's own page alone"
NO_SUCH_DOOR = "there is no such door"
