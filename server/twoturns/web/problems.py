"""
What the server refuses over HTTP: one table of stable codes, one shape of answer.

`PROBLEMS` is the whole list, printed in the OpenAPI description; a code that is not in it cannot
be answered. Codes of the ledger and the store pass through with the status given here.
"""

import html
from dataclasses import dataclass
from typing import Annotated

from flask import Response, jsonify, request

from twoturns.store.errors import DraftRefused
from twoturns.store.events import tell
from twoturns.web.answers import Answer, MayLack
from twoturns.web.origin import origin
from twoturns.words import t
from twoturns.words.en.web import problems as words


@dataclass(frozen=True)
class Known:
    """A code's HTTP status, and the hint that goes with it when nothing more is known."""

    status: int
    hint: str


_STATUS = {
    # The request itself
    "bad-request": 400,
    "bad-header": 400,
    "untrusted-host": 400,
    "no-workshop": 404,
    "cross-site": 403,
    "not-found": 404,
    "method-not-allowed": 405,
    "not-acceptable": 406,
    "too-large": 413,
    "photo-too-large": 413,
    "wrong-content-type": 415,
    "bad-range": 416,
    "invalid": 422,
    "fault": 500,
    "too-many-requests": 429,
    "busy": 503,
    # Who may
    "not-signed-in": 401,
    "device-revoked": 401,
    "access-over": 403,
    "device-shut": 403,
    "unknown-device": 401,
    "wrong-signature": 401,
    "foreign-workshop": 400,
    "succession": 403,
    "wrong-key": 503,
    "invitation-over": 403,
    "enrolment-refused": 403,
    # Entries (in `refused`), and the ledger's own words
    "not-canonical": 400,
    "bad-key": 400,
    "bad-private-value": 400,
    "bad-body": 400,
    "bad-entry": 400,
    "held-full": 507,
    "unread-full": 507,
    "bad-proof": 400,
    # Uploads (tus 1.0.0)
    "tus-version": 412,
    "no-upload": 404,
    "wrong-offset": 409,
    "upload-busy": 423,
    "upload-too-long": 400,
    "wrong-checksum": 460,
    "wrong-hash": 460,
    "blob-erased": 410,
    "app-too-old": 409,
    # Customers
    "no-page": 404,
    # The store
    "workshop-full": 507,
    "workshop-locked": 503,
    "workshop-shut": 503,
    "workshop-away": 503,
    "photos-away": 503,
    "photos-elsewhere": 503,
    "device-quota": 507,
    "too-many-jobs": 429,
    "no-copy": 415,
    # Drafts
    "no-draft": 404,
    "draft-changed": 412,
    "draft-exists": 412,
    "version-missing": 428,
    "draft-too-large": 413,
    "too-many-drafts": 507,
    "bad-zip": 400,
    "bad-picture": 400,
    "bad-wheels": 400,
    "check-busy": 503,
    "not-proved": 409,
    "edition-not-newer": 409,
    "bundle-withdrawn": 409,
    "picture-missing": 409,
    # The evidence bag
    "unknown-job": 404,
    "unknown-sample": 404,
    "bundle-missing": 409,
    "bag-too-large": 409,
    "blob-differs": 500,
    "blob-damaged": 409,
    "records-lost": 500,
    "damaged": 500,
}
PROBLEMS = {
    code: Known(status, DraftRefused.HINTS.get(code) or t(words.HINTS[code]))
    for code, status in _STATUS.items()
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


class Problem(Answer):
    """Every refusal looks like this: the fact, then what to do."""

    code: Annotated[str, "Stable; programs go by it."]
    message: Annotated[str, "The fact."]
    hint: Annotated[str, "What to do."]
    where: MayLack[Annotated[str, "The field, line or header to blame."]]


# Refusals that tell of somebody who may not, or of what is not as it was.
_WATCHED = frozenset(
    {"wrong-signature", "unknown-device", "device-revoked", "device-shut", "foreign-workshop"}
    | {"invitation-over", "enrolment-refused", "cross-site", "untrusted-host"}
    | {"no-workshop"}
    | {"too-many-requests", "device-quota", "too-many-jobs", "held-full", "unread-full"}
    | {"damaged", "blob-differs", "blob-damaged"}
)


def problem(refused: Refused) -> Response:
    """Return the answer to a refusal, and write what those who watch should know of it."""
    if refused.code in _WATCHED:
        tell("refused", code=refused.code, path=request.path[:200], address=origin())
    is_page = refused.code == "no-workshop" and not request.path.startswith("/api/")
    response = Response(_page(refused)) if is_page else jsonify(refused.body())
    response.status_code = refused.known.status
    if refused.retry_after_s is not None:
        response.headers["Retry-After"] = str(refused.retry_after_s)
    return response


def _page(refused: Refused) -> str:
    """Return what a person sees who mistyped the address: there is no app there that could say."""
    fact = html.escape(refused.message[:1].upper() + refused.message[1:])
    head = '<!doctype html><html lang="en"><meta charset="utf-8"><title>Two Turns</title>'
    return f"{head}<h1>{fact}</h1><p>{html.escape(refused.hint)}</p></html>"


def listed() -> str:
    """Return the table of codes for the OpenAPI description."""
    rows = [f"| `{code}` | {known.status} | {known.hint} |" for code, known in PROBLEMS.items()]
    head_of_description = ["| code | status | what to do |", "| --- | --- | --- |"]
    return "\n".join([*head_of_description, *rows])
