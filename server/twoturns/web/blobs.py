"""
Blobs go out as what they are: bytes somebody sent. Never shown by the browser as a page, never
sniffed, and without an origin if opened all the same. `?width=` gives a small JPEG made here,
which carries pixels alone: no position, no time, no camera.
"""

from flask import Response
from marshmallow import fields, validate

from twoturns.bag import picture
from twoturns.web.access import reads, require_blob, store, writes
from twoturns.web.api import BYTES, PART, Form, Room
from twoturns.web.headers import BLOB_SECURITY_POLICY, NO_STORE
from twoturns.web.problems import Refused
from twoturns.web.proofs import PlaceAnswer, shown
from twoturns.web.seen import is_rewound
from twoturns.web.sending import whole_blob
from twoturns.words import t
from twoturns.words.en.web import blobs as words

blobs = Room("blobs", "Photos, private values and bundles' pictures")


class WidthForm(Form):
    width = fields.Integer(
        validate=validate.Range(16, 2048), metadata={"description": "Pixels, at most."}
    )


class KeptAnswer(PlaceAnswer):
    """The `blob.kept` record of a blob and a checkpoint that covers it."""

    rewound: bool


@blobs.route("/blobs/<sha256:sha256>", methods=["GET"])
@blobs.arguments(WidthForm, location="query")
@blobs.response(200, BYTES, content_type="application/octet-stream")
@blobs.alt_response(206, **PART, content_type="application/octet-stream")
@reads()
def one(form: dict[str, int], sha256: str) -> Response:
    """
    Return the bytes, or the part of them that `Range` asks for; or with `width` a JPEG copy at
    most so wide, without metadata.
    """
    require_blob(sha256)
    if "width" in form:
        response = Response(_copy(sha256, form["width"]), mimetype="image/jpeg")
    else:
        response = whole_blob(sha256, "application/octet-stream")
        response.headers.set("Content-Disposition", "attachment", filename=sha256)
    response.headers["Content-Security-Policy"] = BLOB_SECURITY_POLICY
    response.headers["Cache-Control"] = NO_STORE
    return response


@blobs.gives("/blobs/<sha256:sha256>/receipt", KeptAnswer)
@writes
def receipt(sha256: str) -> dict[str, object]:
    """Return what proves that the blob is kept: a phone asks before it frees its own copy."""
    index = store().views.kept_at(sha256)
    if index is None:
        raise Refused("not-found", t(words.NO_SUCH_BLOB))
    place = store().ledger.record(index)
    return {**shown(place), "rewound": is_rewound(place.checkpoint)}


def _copy(sha256: str, width_px: int) -> bytes:
    small = store().thumbnails
    is_usual = width_px == picture.THUMBNAIL_PX
    copy = small.of(sha256) if is_usual else small.copy(sha256, width_px)
    if copy is None:
        raise Refused("no-copy", t(words.NO_SMALLER_COPY))
    return copy
