"""
Photos and other large blobs come in by tus 1.0.0: creation, HEAD, PATCH, checksum.

An upload is keyed by the SHA-256 its creation announces. One whose blob is already kept, and whole
on the disk, costs one request: its creation answers with `Upload-Offset` equal to its length.
"""

import base64
import binascii
import re
from collections.abc import Callable, Iterator
from functools import wraps
from typing import ParamSpec

from flask import Response, request
from werkzeug.exceptions import ClientDisconnected

from twoturns.ledger.forms import SHA256, is_formed
from twoturns.store.scrub import judge_type
from twoturns.store.uploads import MAX_BYTES, Checksum, Progress
from twoturns.web.access import now, principal, store, writes
from twoturns.web.api import Room
from twoturns.web.limits import BYTES, HELD_BYTES, Allowance, limits
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import uploads as words

uploads = Room("uploads", "Photos and other large blobs, by tus 1.0.0")

VERSION = "1.0.0"
PIECE_BYTES = 1 << 20
DIGEST_BYTES = {"sha1": 20, "sha256": 32}
PIECES = "application/offset+octet-stream"
P = ParamSpec("P")
_HEADER_DESCRIPTIONS = {
    "Location": ("string", "Where the upload is."),
    "Tus-Checksum-Algorithm": ("string", "The digests that `Upload-Checksum` may be of."),
    "Tus-Extension": ("string", "What this server does beyond the core of the protocol."),
    "Tus-Max-Size": ("integer", "Bytes of one upload, at most."),
    "Upload-Length": ("integer", "Bytes, of the whole."),
    "Upload-Offset": ("integer", "Bytes that have come."),
}


def said(*names: str) -> dict[str, object]:
    """Describe the headers of an answer that has nothing else to say."""
    forms = {name: _HEADER_DESCRIPTIONS[name] for name in names}
    return {
        name: {"required": True, "schema": {"type": form}, "description": says}
        for name, (form, says) in forms.items()
    }


def speaks_tus(view: Callable[P, Response]) -> Callable[P, Response]:
    """Require the protocol's version, and say ours."""

    @wraps(view)
    def checked(*args: P.args, **kwargs: P.kwargs) -> Response:
        if request.headers.get("Tus-Resumable") != VERSION:
            raise Refused("tus-version", t(words.TUS_VERSION_MISSING))
        return view(*args, **kwargs)

    return checked


def say_version(response: Response) -> Response:
    """Name the protocol's version on every answer, a refusal too, as tus asks."""
    if request.path.startswith("/api/uploads"):
        response.headers["Tus-Resumable"] = VERSION
        response.headers["Tus-Version"] = VERSION
    return response


@uploads.route("/uploads", methods=["OPTIONS"])
@uploads.response(204, headers=said("Tus-Extension", "Tus-Max-Size", "Tus-Checksum-Algorithm"))
def describe() -> Response:
    """Say what of tus this server does: creation, checksums (sha1, sha256), up to 256 MiB."""
    headers = {
        "Tus-Extension": "creation,checksum",
        "Tus-Max-Size": str(MAX_BYTES),
        "Tus-Checksum-Algorithm": ",".join(DIGEST_BYTES),
    }
    return Response(status=204, headers=headers)


@uploads.route("/uploads", methods=["POST"])
@uploads.response(201, headers=said("Location", "Upload-Offset"))
@writes
@speaks_tus
def begin() -> Response:
    """
    Begin an upload, or find how far it has come: `Upload-Offset` says it.

    `Upload-Metadata` names the blob: `sha256`, its hex in base64. The offset is how far this device
    has come; of a blob that is kept it is the whole length.
    """
    length, sha256 = _whole_number("Upload-Length"), _announced_sha256()
    if length > MAX_BYTES:
        raise Refused(
            "photo-too-large",
            t(words.UPLOAD_TOO_LARGE, length=f"{length / 2**20:.0f}", max_bytes=MAX_BYTES // 2**20),
        )
    progress = _begun(sha256, length)
    headers = {"Location": f"/api/uploads/{sha256}", "Upload-Offset": str(progress.offset)}
    return Response(status=201, headers=headers)


@uploads.route("/uploads/<sha256:sha256>", methods=["HEAD"])
@uploads.response(200, headers=said("Upload-Offset", "Upload-Length"))
@writes
@speaks_tus
def state(sha256: str) -> Response:
    """Say how far the upload has come."""
    progress = _kept(sha256) or store().uploads.progress(principal().device, sha256)
    if progress is None:
        raise Refused("no-upload", t(words.UPLOAD_NOT_BEGUN))
    headers = {
        "Upload-Offset": str(progress.offset),
        "Upload-Length": str(progress.length),
        "Cache-Control": "no-store",
    }
    return Response(status=200, headers=headers)


@uploads.route("/uploads/<sha256:sha256>", methods=["PATCH"])
@uploads.response(204, headers=said("Upload-Offset"))
@writes
@speaks_tus
def go_on(sha256: str) -> Response:
    """
    Take the next piece. When it is the last, the blob is checked, kept and receipted.

    An offset below the whole length is not kept yet: it says where to go on, and after a power cut
    it may be a lower one. What is kept has a receipt; nobody frees their own copy on less.
    """
    if request.mimetype != PIECES:
        raise Refused(
            "wrong-content-type",
            t(words.WRONG_PIECE_TYPE, pieces=PIECES),
            hint=t(words.WRONG_PIECE_TYPE_HINT, pieces=PIECES),
        )
    offset, checksum = _whole_number("Upload-Offset"), _checksum()
    _refuse_erased(sha256)
    kept = _kept(sha256)
    if kept is not None:
        if offset != kept.length:
            raise Refused("wrong-offset", t(words.UPLOAD_COMPLETE, length=kept.length))
        return _stands_at(kept)
    request.max_content_length = MAX_BYTES
    device, holding = principal().device, store().uploads
    with limits().body(device, is_stranger=False):
        progress = holding.append(device, sha256, offset, _pieces(), checksum)
    if progress.is_complete:
        holding.finish(device, sha256)
        # Erased while this piece came in: who erased it may have looked before the file was there.
        _refuse_erased(sha256)
        store().ledger.keep([sha256], now())
        store().thumbnails.soon(sha256)
        judge_type(store(), sha256)
    return _stands_at(progress)


def _refuse_erased(sha256: str) -> None:
    """Refuse bytes that were erased, and remove what has come of them."""
    if store().views.is_erased(sha256):
        store().uploads.drop(principal().device, sha256)
        store().blobs.erase(sha256)
        raise Refused("blob-erased", t(words.BLOB_ERASED))


def _begun(sha256: str, length: int) -> Progress:
    _refuse_erased(sha256)
    if store().blobs.has_whole(sha256):
        # Whole and in place, but the one who sent it may have died before it was kept.
        if store().views.kept_at(sha256) is None:
            store().blobs.make_name_durable(sha256)
        store().ledger.keep([sha256], now())
        store().uploads.drop(principal().device, sha256)
    progress = _kept(sha256) or _half(sha256, length)
    if progress.is_complete and _kept(sha256) is None:  # a blob of no bytes
        store().uploads.finish(principal().device, sha256)
        store().ledger.keep([sha256], now())
    return progress


def _half(sha256: str, length: int) -> Progress:
    known = store().uploads.progress(principal().device, sha256)
    for allowance in _allowances():
        limits().require(allowance, principal().device, length - (known.offset if known else 0))
    return store().uploads.begin(principal().device, sha256, length)


def _allowances() -> list[Allowance]:
    return [BYTES, HELD_BYTES] if principal().is_revoked else [BYTES]


def _kept(sha256: str) -> Progress | None:
    """
    Return the end of an upload of which nothing is wanted: the blob is kept, and whole on the disk.

    One that was altered there, or is missing, may be sent again: the receipt for it stands.
    """
    size = store().views.kept_size(sha256)
    if size is None or store().blobs.check(sha256) != "whole":
        return None
    return Progress(size, size)


def _stands_at(progress: Progress) -> Response:
    return Response(status=204, headers={"Upload-Offset": str(progress.offset)})


def _pieces() -> Iterator[bytes]:
    """
    Yield the body in pieces until it ends, or until the line breaks.

    What came before the break is worth keeping; under a checksum the short piece fails it.
    """
    try:
        while piece := request.stream.read(PIECE_BYTES):
            for allowance in _allowances():
                limits().take(allowance, principal().device, len(piece))
            yield piece
    except (ClientDisconnected, OSError):
        return


def _whole_number(header: str) -> int:
    text = request.headers.get(header, "")
    if not re.fullmatch(r"[0-9]{1,15}", text):
        raise Refused("bad-header", t(words.NOT_A_WHOLE_NUMBER, header=header), where=header)
    return int(text)


def _announced_sha256() -> str:
    for pair in request.headers.get("Upload-Metadata", "").split(","):
        name, _, value = pair.strip().partition(" ")
        if name == "sha256":
            text = _base64(value, "Upload-Metadata").decode("ascii", "replace")
            if is_formed(text, SHA256):
                return text
    raise Refused(
        "bad-header",
        t(words.METADATA_LACKS_HASH),
        where="Upload-Metadata",
    )


def _checksum() -> Checksum | None:
    header = request.headers.get("Upload-Checksum")
    if header is None:
        return None
    algorithm, _, value = header.partition(" ")
    digest = _base64(value, "Upload-Checksum")
    if len(digest) != DIGEST_BYTES.get(algorithm):
        raise Refused(
            "bad-header",
            t(words.UNKNOWN_CHECKSUM),
            where="Upload-Checksum",
        )
    return Checksum(algorithm, digest)


def _base64(text: str, header: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError) as error:
        raise Refused("bad-header", t(words.NOT_BASE64, header=header), where=header) from error
