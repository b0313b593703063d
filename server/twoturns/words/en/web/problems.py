"""What to do when the server refuses, by the code of the refusal."""

HINTS = {
    # The request itself
    "bad-request": "Send the request as /api/openapi.json describes it.",
    "bad-header": "Send the header as /api/openapi.json describes it.",
    "untrusted-host": "Use the address the workshop gave, or add it to --host-name.",
    "no-workshop": "Check the address, letter by letter; it stands in the invitation.",
    "cross-site": "Open the workshop's own address; other sites may not write here.",
    "not-found": "Check the address; what this device may not see is not found either.",
    "method-not-allowed": "Use one of the methods the Allow header names.",
    "not-acceptable": "Ask for application/json.",
    "too-large": "Send fewer or smaller items at once.",
    "photo-too-large": "Take the photo again at a lower size; 256 MiB is the most.",
    "wrong-content-type": "Send JSON, with Content-Type: application/json.",
    "bad-range": "Ask for a range that begins below the length in Content-Range.",
    "invalid": "Correct the field that is named, and send again.",
    "fault": (
        "Something went wrong on the workshop's computer. Nothing is lost: the phone keeps "
        "it and sends it again."
    ),
    "too-many-requests": (
        "Wait as long as Retry-After says. Nothing is lost: the phone keeps it and sends it again."
    ),
    "busy": (
        "Wait as long as Retry-After says. Nothing is lost: the phone keeps it and sends it again."
    ),
    # Who may
    "not-signed-in": (
        "Sign in again with this device; what waits on it stays there and is sent then."
    ),
    "device-revoked": (
        "Ask the owner. What is still on this phone may be sent; it is held back for the owner."
    ),
    "access-over": "Ask the owner for a new invitation. What was noted is kept.",
    "device-shut": (
        "Ask the owner. What is on this phone stays there: write it to a file, which the "
        "owner may take in at the workshop's computer (twoturns import)."
    ),
    "unknown-device": "Enrol this device with an invitation of the owner's.",
    "wrong-signature": "Sign the nonce with this device's key, then send it once.",
    "foreign-workshop": "Send it to the workshop whose id it names.",
    "succession": "It is done on the workshop's own computer: twoturns key.",
    "wrong-key": (
        "See to the key on the workshop's computer. Nothing is lost: the phone keeps it and "
        "sends it again."
    ),
    "invitation-over": "Ask the owner for a new invitation.",
    "enrolment-refused": "Ask the owner for a new invitation.",
    # Entries (in `refused`), and the ledger's own words
    "not-canonical": "Send the bytes exactly as they were signed.",
    "bad-key": "Send the text as it was made.",
    "bad-private-value": "Send the private value as it was made.",
    "bad-body": "Update the app, then send again.",
    "bad-entry": "Send the line as it was signed.",
    "held-full": (
        "It stays on the phone: write it to a file there, and bring that to the workshop's "
        "computer (twoturns import). What the owner accepts makes room again."
    ),
    "unread-full": (
        "It stays on the phone, which sends it again. The app is newer than the workshop's "
        "program: bring that up to date."
    ),
    "bad-proof": "Ask for a size and an index that the tree has.",
    # Uploads (tus 1.0.0)
    "tus-version": "Send Tus-Resumable: 1.0.0.",
    "no-upload": "Begin the upload again; nothing of it is lost on the phone.",
    "wrong-offset": "Ask for the offset and go on from there.",
    "upload-busy": "Wait a moment, ask for the offset and go on from there.",
    "upload-too-long": "Begin the upload again with its true length.",
    "wrong-checksum": "Send this piece again.",
    "wrong-hash": "Send the whole file again.",
    "blob-erased": "It was erased by the owner's order; take it off the phone too.",
    "app-too-old": "Update the app: close all its windows and open it again.",
    # Customers
    "no-page": (
        "It has ended, or the workshop has not heard of it yet. Ask the workshop for a new code."
    ),
    # The store
    "workshop-full": (
        "Free space on the workshop's computer. Nothing is lost: the phone keeps it and "
        "sends it again."
    ),
    "workshop-locked": (
        "Wait and try again. Nothing is lost: the phone keeps it and sends it again."
    ),
    "workshop-away": (
        "Wait and try again. Nothing is lost: the phone keeps it and sends it again."
    ),
    "workshop-shut": (
        "Let the server write in the workshop's folder. Nothing is lost: the phone keeps it "
        "and sends it again."
    ),
    "photos-away": (
        "Nothing is lost: the phone keeps them and sends them again by itself. Whoever runs the "
        "workshop's computer finds out why by twoturns doctor."
    ),
    "photos-elsewhere": (
        "Put the right address into photos.url of the workshop's folder. Nothing was changed."
    ),
    "device-quota": (
        "Wait as long as Retry-After says. Nothing is lost: the phone keeps it and sends it again."
    ),
    "too-many-jobs": (
        "Wait as long as Retry-After says, or have an owner's device bring them. Nothing is "
        "lost: the phone keeps it and sends it again."
    ),
    "no-copy": "Ask for the original: no smaller copy can be made of it.",
    # Drafts
    "version-missing": (
        "Name the version that was read in If-Match; for a new draft send If-None-Match: *."
    ),
    "edition-not-newer": "Raise the edition in procedure.yaml, check it, and hand it in again.",
    "bundle-withdrawn": "Correct the procedure, raise its edition, and publish that.",
    "picture-missing": "Put the picture into the draft, or take its name out of assets.",
    # The evidence bag
    "unknown-job": "Take the job's id from the list of jobs.",
    "unknown-sample": "Freeze a list on the page of samples and give a word: that draws one.",
    "bundle-missing": "Publish the edition the job was opened with, then ask again.",
    "bag-too-large": "Show a backup of the workshop: it has all of it.",
    "blob-differs": "Put the blob back from a backup, then ask again.",
    "blob-damaged": "A phone that still has it sends it again; or bring it back from a backup.",
    "records-lost": (
        "Stop the server and start it: it says what to do. Nothing is lost: the phone keeps "
        "it and sends it again."
    ),
    "damaged": "Stop and restore from a backup; nothing was repaired by itself.",
}
