"""
How a bag is laid out: its names and the text of its tag files (RFC 8493, BagIt 1.0).

The writer renders these texts from the files; the verifier renders them again and compares
bytes, so that a manifest has one form only and no byte of it can change unseen.
"""

import hashlib
import re
from collections.abc import Iterable, Mapping
from typing import IO, Final

from twoturns.ledger.forms import SHA256

BAGIT_TXT: Final = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
BAG_INFO: Final = "bag-info.txt"
MANIFEST: Final = "manifest-sha256.txt"
TAG_MANIFEST: Final = "tagmanifest-sha256.txt"

RECORDS: Final = "data/records.txt"
PROOFS: Final = "data/proofs.json"
CHECKPOINT: Final = "data/checkpoint.txt"
BUNDLE: Final = "data/bundle.json"
DISCLOSURE: Final = "data/disclosure.json"
REPORT: Final = "data/report.html"
HEAD: Final = "data/head.txt"
IDS: Final = "data/ids.txt"
ACCOUNT: Final = "data/account.json"
SINCE: Final = "data/since.txt"
CONSISTENCY: Final = "data/consistency.json"

PAYLOAD: Final = "data/"
PHOTOS: Final = "data/photos/"
COPIES: Final = "data/copies/"
PICTURES: Final = (PHOTOS, COPIES)
SAW: Final = "data/saw/"
PAPERS: Final = "data/papers/"

TAG_FILES: Final = ("bagit.txt", BAG_INFO, MANIFEST)
TEXT_FILES: Final = (RECORDS, PROOFS, CHECKPOINT, BUNDLE, DISCLOSURE, REPORT)
REQUIRED: Final = (*TAG_FILES, TAG_MANIFEST, *TEXT_FILES)
SINCE_EDITION_2: Final = (HEAD, IDS, ACCOUNT)
OPTIONAL: Final = (*SINCE_EDITION_2, SINCE, CONSISTENCY)  # the last two: since a checkpoint

EXTENSIONS: Final = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "image/heic": "heic",
}
SAW_EXTENSIONS: Final = {"application/json": "json", "audio/wav": "wav"}
PAPER_EXTENSIONS: Final = {**EXTENSIONS, "application/pdf": "pdf"}
_BLOB_FILE = re.compile(
    rf"data/(?:blobs/({SHA256})|photos/({SHA256})\.(?:jpg|png|webp|heic)"
    rf"|copies/({SHA256})\.(?:jpg|png|webp)|saw/({SHA256})\.(?:json|wav)"
    rf"|papers/({SHA256})\.(?:jpg|png|webp|heic|pdf|bin))"
)
_CHUNK = 1 << 20


def blob_name(blob: str) -> str:
    """Return the name of a blob's file, by its SHA-256."""
    return f"data/blobs/{blob}"


def photo_name(blob: str, media_type: str) -> str:
    """Return the name of a photo's file; its ending is that of its media type."""
    return f"{PHOTOS}{blob}.{EXTENSIONS[media_type]}"


def saw_name(blob: str, media_type: str) -> str:
    """Return the name of what an instrument saw."""
    return f"{SAW}{blob}.{SAW_EXTENSIONS[media_type]}"


def copy_name(blob: str, media_type: str) -> str:
    """Return the name of a copy of a photo, which nothing in the ledger vouches for."""
    return f"{COPIES}{blob}.{EXTENSIONS[media_type]}"


def paper_name(blob: str, media_type: str) -> str:
    """Return the name of a paper's file: a certificate, a permit. It may be of any media type."""
    return f"{PAPERS}{blob}.{PAPER_EXTENSIONS.get(media_type, 'bin')}"


def blob_of(name: str) -> str | None:
    """Return the hash a file below blobs/, photos/, copies/, saw/ or papers/ is named by."""
    match = _BLOB_FILE.fullmatch(name)
    return next(group for group in match.groups() if group) if match else None


def is_ours(name: str) -> bool:
    """Say whether a bag of ours may hold a file of that name."""
    return name in REQUIRED or name in OPTIONAL or blob_of(name) is not None


def manifest(digests: Mapping[str, str]) -> str:
    """Render a manifest; our names hold nothing that RFC 8493 section 2.1.3 would escape."""
    return "".join(f"{digests[name]}  {name}\n" for name in sorted(digests))


def bag_info(
    *, job: str, workshop_name: str, made_on: str, oxum: tuple[int, int], head: str
) -> str:
    """
    Render bag-info.txt. `oxum` is the payload's (bytes, files); `head` is the checkpoint's
    size and root. `made_on` is the maker's word, all else follows from the payload.
    """
    fields = {
        "Source-Organization": " ".join(workshop_name.split()),
        "External-Identifier": job,
        "External-Description": "One job of a workshop, with the proofs of its records",
        "Bagging-Date": made_on,
        "Bag-Software-Agent": "Two Turns",
        "Payload-Oxum": f"{oxum[0]}.{oxum[1]}",
        "Two-Turns-Head": head,
    }
    return "".join(f"{label}: {value}\n" for label, value in fields.items())


def info_field(text: str, label: str) -> str | None:
    """Return what `bag-info.txt` says under a label; None where it says nothing."""
    found = re.search(rf"^{re.escape(label)}: (.*)$", text, re.MULTILINE)
    return found.group(1) if found else None


def chunks(stream: IO[bytes]) -> Iterable[bytes]:
    """Read a stream to its end, a piece at a time."""
    while chunk := stream.read(_CHUNK):
        yield chunk


def sha256(data: bytes) -> str:
    """Return the SHA-256 of bytes, 64 small hex digits."""
    return hashlib.sha256(data).hexdigest()
