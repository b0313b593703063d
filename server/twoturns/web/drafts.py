"""
Drafts: procedures that owners write in the browser. Working files, no evidence.

Each has a version, which is its ETag. Who writes names the version he has read (`If-Match`), or
that there is none yet (`If-None-Match: *`): so two who write at once never undo each other
(RFC 9110, section 13.1).
"""

import io
from typing import get_args

from flask import Response, request, send_file
from marshmallow import Schema, fields, validate

from twoturns.store import as_text
from twoturns.store.draft import MOST_BYTES, Draft, received, require_picture
from twoturns.store.draft_changes import changes_of
from twoturns.store.draft_checks import State, Told
from twoturns.store.drafts import NEW, Kept
from twoturns.store.handing_in import hand_in_checked
from twoturns.web.access import now, principal, reads, store
from twoturns.web.api import BYTES, Form, Room
from twoturns.web.headers import BLOB_SECURITY_POLICY
from twoturns.web.limits import limits
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import drafts as words

drafts = Room("drafts", "Procedures that are being written")

ANY_BYTES = "application/octet-stream"
_OF_BYTES = {"required": True, "content": {ANY_BYTES: {"schema": BYTES}}}
_MATCH = [
    {
        "in": "header",
        "name": name,
        "required": False,
        "schema": {"type": "string"},
        "description": says,
    }
    for name, says in (
        ("If-Match", t(words.IF_MATCH)),
        ("If-None-Match", t(words.IF_NONE_MATCH)),
    )
]


class DraftRow(Schema):
    """A draft, its size and when it was last written."""

    draft = fields.String(required=True)
    bytes = fields.Integer(required=True)
    changed = fields.String(required=True)


class DraftsAnswer(Schema):
    """The drafts, by their names."""

    drafts = fields.List(fields.Nested(DraftRow), required=True)


class PictureRow(Schema):
    """A picture of a draft."""

    name = fields.String(required=True)
    bytes = fields.Integer(required=True)


class DraftAnswer(Schema):
    """A draft: its source as it was written, finished or not, and its pictures."""

    draft = fields.String(required=True)
    version = fields.String(required=True)
    text = fields.String(required=True)
    pictures = fields.List(fields.Nested(PictureRow), required=True)


class TextForm(Form):
    """A draft's source."""

    text = fields.String(required=True)


class VersionAnswer(Schema):
    """The version of a draft after it was written."""

    version = fields.String(required=True)


class FindingAnswer(Schema):
    """A fault of a draft, or a note that is none, as `twoturns procedure check` tells it."""

    code = fields.String(required=True)
    message = fields.String(required=True)
    hint = fields.String(required=True)
    rule = fields.String(required=True, allow_none=True)
    line = fields.Integer(required=True, allow_none=True)
    column = fields.Integer(required=True, allow_none=True)
    way = fields.List(
        fields.String(),
        required=True,
        metadata={"description": "A shortest way there: `step`, or `step: failure`."},
    )
    sequence = fields.List(fields.String(), required=True, metadata={"description": "In words."})


class ReportAnswer(Schema):
    """What a check found. Proved where it has no findings."""

    version = fields.String(required=True, metadata={"description": "Of the draft it is about."})
    findings = fields.List(fields.Nested(FindingAnswer), required=True)
    notes = fields.List(fields.Nested(FindingAnswer), required=True)
    states = fields.Integer(required=True)
    rules_proven = fields.Integer(required=True)
    bundle = fields.String(
        required=True,
        allow_none=True,
        metadata={"description": "The text of the bundle, where the source compiles."},
    )
    sha256 = fields.String(required=True, allow_none=True)


class CheckAnswer(Schema):
    """How far a check is. `ended`: stopped, or beyond what it may take, without a report."""

    state = fields.String(required=True, validate=validate.OneOf(get_args(State)))
    states = fields.Integer(required=True)
    report = fields.Nested(ReportAnswer, required=True, allow_none=True)


class ChangeRow(Schema):
    """A change in words, and the heading under which it stands."""

    heading = fields.String(required=True)
    says = fields.String(required=True)


class ChangesAnswer(Schema):
    """What a draft would change against the newest edition that is published, and for whom."""

    edition = fields.Integer(required=True)
    against = fields.Integer(required=True, allow_none=True)
    changes = fields.List(fields.Nested(ChangeRow), required=True)
    persons = fields.List(
        fields.String(), required=True, metadata={"description": "Who worked by it."}
    )
    open_jobs = fields.Integer(
        required=True, metadata={"description": "They go on by their own edition."}
    )


class HandedInAnswer(Schema):
    """The bundle that an owner's device may publish now."""

    bundle = fields.String(required=True)
    is_new = fields.Boolean(
        required=True, metadata={"description": "False where it is published already."}
    )


@drafts.route("/drafts", methods=["GET"])
@drafts.response(200, DraftsAnswer)
@reads("owner")
def listed() -> dict[str, object]:
    """List the drafts, by their names."""
    return _listed()


def _listed() -> dict[str, object]:
    return {
        "drafts": [
            {"draft": row.name, "bytes": row.bytes, "changed": as_text(row.changed)}
            for row in store().drafts.rows()
        ]
    }


@drafts.route("/drafts/<draft:draft>", methods=["GET"])
@drafts.response(200, DraftAnswer)
@reads("owner")
def one(draft: str) -> dict[str, object]:
    """Return a draft."""
    kept = store().drafts.read(draft)
    pictures = [{"name": name, "bytes": len(data)} for name, data in kept.draft.pictures.items()]
    return {
        "draft": draft,
        "version": kept.version,
        "text": kept.draft.text,
        "pictures": pictures,
    }


@drafts.route("/drafts/<draft:draft>", methods=["PUT"])
@drafts.doc(parameters=_MATCH)
@drafts.arguments(TextForm)
@drafts.response(200, VersionAnswer)
@reads("owner")
def write(form: dict[str, str], draft: str) -> dict[str, str]:
    """Write a draft's source; its pictures stay. With `If-None-Match: *` a draft is begun."""
    expected = _expected()
    pictures = {} if expected is NEW else _kept(draft, expected).draft.pictures
    return _written(draft, Draft(form["text"], pictures), expected)


@drafts.route("/drafts/<draft:draft>", methods=["DELETE"])
@drafts.doc(parameters=_MATCH[:1])
@drafts.response(200, DraftsAnswer)
@reads("owner")
def throw_away(draft: str) -> dict[str, object]:
    """Throw a draft away, and list those that are left."""
    store().drafts.remove(draft, _read_version())
    store().draft_checks.forget(draft)
    return _listed()


@drafts.route("/drafts/<draft:draft>/zip", methods=["GET"])
@drafts.response(200, BYTES, content_type="application/zip")
@reads("owner")
def export(draft: str) -> Response:
    """Return a draft as a ZIP file: its source and its pictures."""
    data = io.BytesIO(store().drafts.data(draft))
    return send_file(
        data, mimetype="application/zip", as_attachment=True, download_name=f"{draft}.zip"
    )


@drafts.route("/drafts/<draft:draft>/zip", methods=["PUT"])
@drafts.doc(parameters=_MATCH, requestBody=_OF_BYTES)
@drafts.response(200, VersionAnswer)
@reads("owner")
def import_zip(draft: str) -> dict[str, str]:
    """Write a draft from a ZIP file: `procedure.yaml` and pictures, alone or in one folder."""
    expected = _expected()
    return _written(draft, received(_body()), expected)


@drafts.route("/drafts/<draft:draft>/pictures/<picture:picture>", methods=["GET"])
@drafts.response(200, BYTES, content_type=ANY_BYTES)
@reads("owner")
def picture(draft: str, picture: str) -> Response:
    """Return a picture of a draft, as bytes that no browser shows by themselves."""
    data = store().drafts.read(draft).draft.pictures.get(picture)
    if data is None:
        raise Refused("not-found", t(words.NO_SUCH_PICTURE))
    response = Response(data, mimetype=ANY_BYTES)
    response.headers.set("Content-Disposition", "attachment", filename=picture)
    response.headers["Content-Security-Policy"] = BLOB_SECURITY_POLICY
    return response


@drafts.route("/drafts/<draft:draft>/pictures/<picture:picture>", methods=["PUT"])
@drafts.doc(
    parameters=_MATCH[:1],
    requestBody=_OF_BYTES,
)
@drafts.response(200, VersionAnswer)
@reads("owner")
def put_picture(draft: str, picture: str) -> dict[str, str]:
    """Add a picture to a draft, or put another in its place."""
    kept = _kept(draft, expected := _read_version())
    data = _body()
    require_picture(picture, data)
    return _written(draft, Draft(kept.draft.text, {**kept.draft.pictures, picture: data}), expected)


@drafts.route("/drafts/<draft:draft>/pictures/<picture:picture>", methods=["DELETE"])
@drafts.doc(parameters=_MATCH[:1])
@drafts.response(200, VersionAnswer)
@reads("owner")
def remove_picture(draft: str, picture: str) -> dict[str, str]:
    """Take a picture out of a draft."""
    kept = _kept(draft, expected := _read_version())
    left = {name: data for name, data in kept.draft.pictures.items() if name != picture}
    return _written(draft, Draft(kept.draft.text, left), expected)


@drafts.route("/drafts/<draft:draft>/check", methods=["POST"])
@drafts.response(202, CheckAnswer)
@reads("owner")
def check(draft: str) -> dict[str, object]:
    """
    Begin to check a draft, as it is now, in a process of its own. One that still runs is stopped.

    A check ends by itself: after 120 s of a processor, 300 s in all, or with 1 GiB of memory.
    """
    store().draft_checks.begin(draft, store().drafts.data(draft))
    return _told(store().draft_checks.told(draft))


@drafts.route("/drafts/<draft:draft>/check", methods=["GET"])
@drafts.response(200, CheckAnswer)
@reads("owner")
def checked(draft: str) -> dict[str, object]:
    """Say how far the check of a draft is, and what it found."""
    store().drafts.data(draft)
    return _told(store().draft_checks.told(draft))


@drafts.route("/drafts/<draft:draft>/check", methods=["DELETE"])
@drafts.response(200, CheckAnswer)
@reads("owner")
def stop(draft: str) -> dict[str, object]:
    """Stop the check of a draft."""
    store().drafts.data(draft)
    store().draft_checks.stop(draft)
    return _told(store().draft_checks.told(draft))


@drafts.route("/drafts/<draft:draft>/changes", methods=["GET"])
@drafts.response(200, ChangesAnswer)
@reads("owner")
def changes(draft: str) -> dict[str, object]:
    """Say in words what the last check's draft would change, and whom it concerns."""
    store().drafts.data(draft)
    found = changes_of(store(), draft)
    return {
        "edition": found.edition,
        "against": found.against,
        "changes": [{"heading": heading, "says": says} for heading, says in found.changes],
        "persons": found.persons,
        "open_jobs": found.open_jobs,
    }


@drafts.route("/drafts/<draft:draft>/hand-in", methods=["POST"])
@drafts.doc(parameters=_MATCH[:1])
@drafts.response(200, HandedInAnswer)
@reads("owner")
def hand_in(draft: str) -> dict[str, object]:
    """
    Hand in what a check has proved, for an owner's device to publish (`bundle.published`).

    The draft must be the version that was checked.
    """
    bundle, is_new = hand_in_checked(store(), draft, _read_version(), now())
    return {"bundle": bundle, "is_new": is_new}


def _told(told: Told) -> dict[str, object]:
    return {"state": told.state, "states": told.states, "report": told.report}


def _written(draft: str, written: Draft, expected: str | None) -> dict[str, str]:
    return {"version": store().drafts.put(draft, written, expected)}


def _kept(draft: str, version: str) -> Kept:
    """Return a draft as it was read; if it is another by now, writing it refuses that."""
    kept = store().drafts.read(draft)
    if kept.version != version:
        raise Refused("draft-changed", t(words.CHANGED))
    return kept


def _body() -> bytes:
    if request.mimetype != ANY_BYTES:
        raise Refused("wrong-content-type", t(words.BODY_TYPE, wanted=ANY_BYTES))
    request.max_content_length = MOST_BYTES
    with limits().body(principal().device, is_stranger=False):
        return request.get_data()


def _expected() -> str | None:
    """Return the version that whoever writes has read; None where it is to be a new draft."""
    return NEW if request.headers.get("If-None-Match") == "*" else _read_version()


def _read_version() -> str:
    versions = request.if_match.as_set()  # a weak one says that something may differ
    if len(versions) != 1:
        raise Refused("version-missing", t(words.VERSION_MISSING), where="If-Match")
    return versions.pop()
