"""
What the server refuses over HTTP: one table of stable codes, one shape of answer.

`PROBLEMS` is the whole list, printed in the OpenAPI description; a code that is not in it cannot
be answered. Codes of the ledger and the store pass through with the status given here.
"""

from dataclasses import dataclass

from flask import Response, jsonify, request
from marshmallow import Schema, fields

from twoturns.store.events import tell
from twoturns.web.origin import origin


@dataclass(frozen=True)
class Known:
    """A code's HTTP status, and the hint that goes with it when nothing more is known."""

    status: int
    hint: str


_SEND_AGAIN = "Nothing is lost: the phone keeps it and sends it again."
_SIGN_IN = "Sign in again with this device; what waits on it stays there and is sent then."

PROBLEMS: dict[str, Known] = {
    # The request itself
    "bad-request": Known(400, "Send the request as /api/openapi.json describes it."),
    "bad-header": Known(400, "Send the header as /api/openapi.json describes it."),
    "untrusted-host": Known(400, "Use the address the workshop gave, or add it to --host-name."),
    "cross-site": Known(403, "Open the workshop's own address; other sites may not write here."),
    "not-found": Known(404, "Check the address; what this device may not see is not found either."),
    "method-not-allowed": Known(405, "Use one of the methods the Allow header names."),
    "not-acceptable": Known(406, "Ask for application/json."),
    "too-large": Known(413, "Send fewer or smaller items at once."),
    "photo-too-large": Known(413, "Take the photo again at a lower size; 256 MiB is the most."),
    "wrong-content-type": Known(415, "Send JSON, with Content-Type: application/json."),
    "bad-range": Known(416, "Ask for a range that begins below the length in Content-Range."),
    "invalid": Known(422, "Correct the field that is named, and send again."),
    "fault": Known(500, "Something went wrong on the workshop's computer. " + _SEND_AGAIN),
    "too-many-requests": Known(429, "Wait as long as Retry-After says. " + _SEND_AGAIN),
    "busy": Known(503, "Wait as long as Retry-After says. " + _SEND_AGAIN),
    # Who may
    "not-signed-in": Known(401, _SIGN_IN),
    "device-revoked": Known(
        401,
        "Ask the owner. What is still on this phone may be sent; it is held back for the owner.",
    ),
    "access-over": Known(403, "Ask the owner for a new invitation. What was noted is kept."),
    "device-shut": Known(
        403,
        "Ask the owner. What is on this phone stays there: write it to a file, which the owner may "
        "take in at the workshop's computer (twoturns import).",
    ),
    "unknown-device": Known(401, "Enrol this device with an invitation of the owner's."),
    "wrong-signature": Known(401, "Sign the nonce with this device's key, then send it once."),
    "foreign-workshop": Known(400, "Send it to the workshop whose id it names."),
    "succession": Known(403, "It is done on the workshop's own computer: twoturns key."),
    "wrong-key": Known(503, "See to the key on the workshop's computer. " + _SEND_AGAIN),
    "invitation-over": Known(403, "Ask the owner for a new invitation."),
    "enrolment-refused": Known(403, "Ask the owner for a new invitation."),
    # Entries (in `refused`), and the ledger's own words
    "not-canonical": Known(400, "Send the bytes exactly as they were signed."),
    "bad-key": Known(400, "Send the text as it was made."),
    "bad-private-value": Known(400, "Send the private value as it was made."),
    "bad-body": Known(400, "Update the app, then send again."),
    "bad-entry": Known(400, "Send the line as it was signed."),
    "held-full": Known(
        507,
        "It stays on the phone: write it to a file there, and bring that to the workshop's "
        "computer (twoturns import). What the owner accepts makes room again.",
    ),
    "unread-full": Known(
        507,
        "It stays on the phone, which sends it again. The app is newer than the workshop's "
        "program: bring that up to date.",
    ),
    "bad-proof": Known(400, "Ask for a size and an index that the tree has."),
    # Uploads (tus 1.0.0)
    "tus-version": Known(412, "Send Tus-Resumable: 1.0.0."),
    "no-upload": Known(404, "Begin the upload again; nothing of it is lost on the phone."),
    "wrong-offset": Known(409, "Ask for the offset and go on from there."),
    "upload-busy": Known(423, "Wait a moment, ask for the offset and go on from there."),
    "upload-too-long": Known(400, "Begin the upload again with its true length."),
    "wrong-checksum": Known(460, "Send this piece again."),
    "wrong-hash": Known(460, "Send the whole file again."),
    "blob-erased": Known(410, "It was erased by the owner's order; take it off the phone too."),
    "app-too-old": Known(409, "Update the app: close all its windows and open it again."),
    # The store
    "workshop-full": Known(507, "Free space on the workshop's computer. " + _SEND_AGAIN),
    "workshop-locked": Known(503, "Wait and try again. " + _SEND_AGAIN),
    "workshop-shut": Known(503, "Let the server write in the workshop's folder. " + _SEND_AGAIN),
    "device-quota": Known(507, "Wait as long as Retry-After says. " + _SEND_AGAIN),
    "too-many-jobs": Known(
        429,
        "Wait as long as Retry-After says, or have an owner's device bring them. " + _SEND_AGAIN,
    ),
    "no-copy": Known(415, "Ask for the original: no smaller copy can be made of it."),
    # The evidence bag
    "unknown-job": Known(404, "Take the job's id from the list of jobs."),
    "bundle-missing": Known(409, "Publish the edition the job was opened with, then ask again."),
    "bag-too-large": Known(409, "Show a backup of the workshop: it has all of it."),
    "blob-differs": Known(500, "Put the blob back from a backup, then ask again."),
    "blob-damaged": Known(
        409, "A phone that still has it sends it again; or bring it back from a backup."
    ),
    "records-lost": Known(500, "Stop the server and start it: it says what to do. " + _SEND_AGAIN),
    "damaged": Known(500, "Stop and restore from a backup; nothing was repaired by itself."),
}


class Refused(Exception):
    """
    A refusal on its way to the client. `where` names the field or line, if one is to blame;
    `retry_after_s`: when the same request may be taken.
    """

    def __init__(
        self,
        code: str,
        message: str,
        *,
        hint: str | None = None,
        where: str | None = None,
        retry_after_s: int | None = None,
    ) -> None:
        self.retry_after_s = retry_after_s
        self.known = PROBLEMS[code]
        self.code, self.message, self.where = code, message, where
        self.hint = hint or self.known.hint
        super().__init__(message)

    def body(self) -> dict[str, str]:
        shown = {"code": self.code, "message": self.message, "hint": self.hint}
        return shown if self.where is None else {**shown, "where": self.where}


class Problem(Schema):
    """Every refusal looks like this: the fact, then what to do."""

    code = fields.String(required=True, metadata={"description": "Stable; programs go by it."})
    message = fields.String(required=True, metadata={"description": "The fact."})
    hint = fields.String(required=True, metadata={"description": "What to do."})
    where = fields.String(metadata={"description": "The field, line or header to blame."})


# Refusals that tell of somebody who may not, or of what is not as it was.
_WATCHED = frozenset(
    {"wrong-signature", "unknown-device", "device-revoked", "device-shut", "foreign-workshop"}
    | {"invitation-over", "enrolment-refused", "cross-site", "untrusted-host"}
    | {"too-many-requests", "device-quota", "too-many-jobs", "held-full", "unread-full"}
    | {"damaged", "blob-differs", "blob-damaged"}
)


def problem(refused: Refused) -> Response:
    """Return the answer to a refusal, and write what those who watch should know of it."""
    if refused.code in _WATCHED:
        tell("refused", code=refused.code, path=request.path[:200], address=origin())
    response = jsonify(refused.body())
    response.status_code = refused.known.status
    if refused.retry_after_s is not None:
        response.headers["Retry-After"] = str(refused.retry_after_s)
    return response


def listed() -> str:
    """Return the table of codes for the OpenAPI description."""
    rows = [f"| `{code}` | {known.status} | {known.hint} |" for code, known in PROBLEMS.items()]
    return "\n".join(["| code | status | what to do |", "| --- | --- | --- |", *rows])
