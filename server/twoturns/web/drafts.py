"""
Drafts: procedures that owners write in the browser. Working files, no evidence.

Each has a version, which is its ETag. Who writes names the version he has read (`If-Match`), or
that there is none yet (`If-None-Match: *`): so two who write at once never undo each other
(RFC 9110, section 13.1).
"""

import io
from dataclasses import asdict, replace
from typing import Annotated, Any

from flask import Response, request, send_file
from marshmallow import fields, validate

from twoturns.store import as_text, begin_draft
from twoturns.store.draft import DRAFT, MOST_BYTES, Draft, received, require_picture
from twoturns.store.draft_drive import Fitted, fitted
from twoturns.store.drafts import NEW, Kept
from twoturns.web.access import principal, reads, store
from twoturns.web.answers import Answer, answer_of
from twoturns.web.api import BYTES, Form, Room
from twoturns.web.headers import BLOB_SECURITY_POLICY
from twoturns.web.limits import limits
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import drafts as words

drafts = Room("drafts", "Procedures that are being written")

ANY_BYTES = "application/octet-stream"
_OF_BYTES = {"required": True, "content": {ANY_BYTES: {"schema": BYTES}}}
MATCH = [
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


class DraftRow(Answer):
    """A draft, its size and when it was last written."""

    draft: str
    bytes: int
    changed: str


class DraftsAnswer(Answer):
    """The drafts, by their names."""

    drafts: list[DraftRow]


class PictureRow(Answer):
    """A picture of a draft."""

    name: str
    bytes: int


class DraftAnswer(Answer):
    """A draft: its source as it was written, finished or not, and its pictures."""

    draft: str
    version: str
    text: str
    pictures: list[PictureRow]


class TextForm(Form):
    """A draft's source."""

    text = fields.String(required=True)


class WriteForm(TextForm):
    """A draft's source, and for one that is begun where all else of it comes from."""

    beside = fields.String(
        validate=validate.Regexp(rf"{DRAFT}\Z"),
        metadata={
            "description": "A draft whose pictures and blocks one that is begun takes along."
        },
    )


class BeginForm(Form):
    """An engine's drive as it was measured, as `twoturns procedure new` takes it."""

    engine = fields.String(
        required=True, validate=validate.Regexp(r"[A-Za-z0-9][A-Za-z0-9 ._/-]{0,63}\Z")
    )
    belt = fields.String(
        required=True, metadata={"description": "Teeth and pitch in mm, as `96x8`."}
    )
    wheels = fields.List(
        fields.String(validate=validate.Length(max=80)),
        required=True,
        validate=validate.Length(2, 24),
        metadata={
            "description": "`NAME:X,Y:20t`, `:60mm` or `:60mm:throw8`, the crankshaft's first."
        },
    )
    blocks = fields.List(
        fields.String(validate=validate.OneOf([one.block for one in begin_draft.blocks()])),
        load_default=list,
        validate=validate.Length(max=40),
        metadata={"description": "Those of the library that it is to be written with."},
    )
    clockwise = fields.Boolean(required=True)


class MemberFieldRow(Answer):
    """What each member of a list says under one name."""

    name: str
    kind: str


class FillInRow(Answer):
    """What a block asks for under one name."""

    name: str
    kind: str
    says: str
    unit: str
    may_lack: bool
    of: Annotated[list[MemberFieldRow], "Of a list: what each of its members says."]


class BlockStepRow(Answer):
    """A step that a block brings."""

    id: str
    title: str


class BlockRow(Answer):
    """Work that is the same on every car, to be chosen and filled in."""

    block: str
    edition: int
    name: str
    because: str
    withdrawn: Annotated[bool, "This edition is not to be used any more."]
    fill_in: list[FillInRow]
    steps: list[BlockStepRow]


class BlocksAnswer(Answer):
    """The blocks that procedures are written with, by their names."""

    blocks: list[BlockRow]


FittedAnswer = answer_of(Fitted)


class VersionAnswer(Answer):
    """The version of a draft after it was written."""

    version: str


@drafts.gives("/drafts", DraftsAnswer)
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


@drafts.gives("/blocks", BlocksAnswer)
@reads("owner")
def blocks() -> dict[str, object]:
    """List the blocks that procedures are written with."""
    return {"blocks": [_block(one) for one in begin_draft.blocks()]}


def _block(told: begin_draft.BlockTold) -> dict[str, object]:
    steps = [{"id": step, "title": title} for step, title in told.steps]
    fill_in = [
        {**asdict(one), "of": [{"name": name, "kind": kind} for name, kind in one.of]}
        for one in told.fill_in
    ]
    return {**asdict(told), "fill_in": fill_in, "steps": steps}


@drafts.takes("/drive", TextForm, FittedAnswer)
@reads("owner")
def drive(form: dict[str, str]) -> Fitted:
    """Say how the belt fits in a source's `drive`, while it is written. Nothing is kept."""
    return fitted(form["text"])


@drafts.route("/drafts/<draft:draft>/begin", methods=["PUT"])
@drafts.doc(parameters=MATCH[1:])
@drafts.arguments(BeginForm)
@drafts.response(200, VersionAnswer)
@reads("owner")
def begin(form: dict[str, Any], draft: str) -> dict[str, str]:
    """Begin a draft out of measured wheels: its head, its drive, its first two steps."""
    return _written(draft, Draft(begin_draft.begun(draft, **form)), NEW)


@drafts.gives("/drafts/<draft:draft>", DraftAnswer)
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
@drafts.doc(parameters=MATCH)
@drafts.arguments(WriteForm)
@drafts.response(200, VersionAnswer)
@reads("owner")
def write(form: dict[str, str], draft: str) -> dict[str, str]:
    """
    Write a draft's source; its pictures stay. With `If-None-Match: *` a draft is begun, with
    nothing beside its source, or with what is `beside` that of another.
    """
    expected = _expected()
    if expected is not NEW:
        before = _kept(draft, expected).draft
    else:
        before = store().drafts.read(form["beside"]).draft if "beside" in form else Draft("")
    return _written(draft, replace(before, text=form["text"]), expected)


@drafts.route("/drafts/<draft:draft>", methods=["DELETE"])
@drafts.doc(parameters=MATCH[:1])
@drafts.response(200, DraftsAnswer)
@reads("owner")
def throw_away(draft: str) -> dict[str, object]:
    """Throw a draft away, and list those that are left."""
    store().drafts.remove(draft, read_version())
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
@drafts.doc(parameters=MATCH, requestBody=_OF_BYTES)
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
    parameters=MATCH[:1],
    requestBody=_OF_BYTES,
)
@drafts.response(200, VersionAnswer)
@reads("owner")
def put_picture(draft: str, picture: str) -> dict[str, str]:
    """Add a picture to a draft, or put another in its place."""
    kept = _kept(draft, expected := read_version())
    data = _body()
    require_picture(picture, data)
    pictures = {**kept.draft.pictures, picture: data}
    return _written(draft, replace(kept.draft, pictures=pictures), expected)


@drafts.route("/drafts/<draft:draft>/pictures/<picture:picture>", methods=["DELETE"])
@drafts.doc(parameters=MATCH[:1])
@drafts.response(200, VersionAnswer)
@reads("owner")
def remove_picture(draft: str, picture: str) -> dict[str, str]:
    """Take a picture out of a draft."""
    kept = _kept(draft, expected := read_version())
    left = {name: data for name, data in kept.draft.pictures.items() if name != picture}
    return _written(draft, replace(kept.draft, pictures=left), expected)


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
    return NEW if request.headers.get("If-None-Match") == "*" else read_version()


def read_version() -> str:
    """Return the version that whoever asks has read."""
    versions = request.if_match.as_set()  # a weak one says that something may differ
    if len(versions) != 1:
        raise Refused("version-missing", t(words.VERSION_MISSING), where="If-Match")
    return versions.pop()
