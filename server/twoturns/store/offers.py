"""
Procedures that wait for an owner: those that take a `stop` otherwise, on a maker's word, and those
that owners write in the browser.

One is handed in: its bytes and pictures are kept, and a note of it lies in `offers/`. It may be
worked by only when an owner's device has stated `bundle.published`. The notes are no evidence:
where the folder is lost, the bundle is handed in again.
"""

import hashlib
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from twoturns.ledger.forms import SHA256, is_formed
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import check_bundle
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.store.bundles import Bundle, is_published, put
from twoturns.store.store import Store

FOLDER = "offers"

#: A bundle's hash and its data; of what was overtaken also the edition that is published.
Offer = tuple[str, shape.Bundle]
Overtaken = tuple[str, shape.Bundle, int]


def hand_in(store: Store, bundle: Bundle, now: datetime) -> bool:
    """
    Hand a bundle in for an owner to publish. False if it is published already.

    What waits under its id with the same edition or an older one is taken back: of one edition
    there is one bundle.

    Raises:
        BundleRefused: As publishing would.
        WorkshopFull: If the disk has no room.
    """
    if is_published(store, bundle.bundle, bundle.sha256):
        return False
    put(store, bundle, now)
    folder = _folder(store)
    folder.mkdir(mode=0o700, exist_ok=True)
    (folder / bundle.sha256).touch(mode=0o600)
    # After it is noted: a crash in between leaves two that wait, never none.
    _take_back(store, bundle)
    return True


def _take_back(store: Store, by: Bundle) -> None:
    for sha256, said in _offers(store):
        is_older = said["id"] == by.bundle["id"] and said["edition"] <= by.bundle["edition"]
        if is_older and sha256 != by.sha256:
            (_folder(store) / sha256).unlink(missing_ok=True)


def waiting(store: Store) -> tuple[list[Offer], list[Overtaken]]:
    """
    Return the bundles that wait for an owner, each with its hash, and those that may no longer be
    published, each with the newest edition of its id that is.
    """
    waits: list[Offer] = []
    overtaken: list[Overtaken] = []
    for sha256, bundle in _offers(store):
        published = max((row["edition"] for row in store.views.editions(bundle["id"])), default=0)
        if published >= bundle["edition"]:
            overtaken.append((sha256, bundle, published))
        else:
            waits.append((sha256, bundle))
    return waits, overtaken


def _offers(store: Store) -> list[Offer]:
    found = [(sha256, _read(store, sha256)) for sha256 in _noted(store)]
    return [(sha256, bundle) for sha256, bundle in found if bundle is not None]


def _noted(store: Store) -> Iterator[str]:
    if _folder(store).is_dir():
        names = sorted(each.name for each in _folder(store).iterdir())
        yield from (name for name in names if not store.views.is_published(name))


def _read(store: Store, sha256: str) -> shape.Bundle | None:
    """Return a bundle's data; None where a note names nothing that is one, or other bytes."""
    data = store.blobs.read(sha256) if is_formed(sha256, SHA256) else None
    if data is None or hashlib.sha256(data).hexdigest() != sha256:
        return None
    try:
        return check_bundle(data)
    except (BundleError, NewerForm):
        return None


def _folder(store: Store) -> Path:
    return store.folder / FOLDER
