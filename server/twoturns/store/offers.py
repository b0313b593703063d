"""
Procedures that wait for an owner: those that take a `stop` otherwise, on a maker's word.

The console hands one in: its bytes and pictures are kept, and a note of it lies in `offers/`. It
may be worked by only when an owner's device has stated `bundle.published`. The notes are no
evidence: where the folder is lost, the bundle is handed in again.
"""

import hashlib
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from twoturns.ledger.forms import SHA256, is_formed
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import Bundle, check_bundle
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.store.bundles import is_published, put
from twoturns.store.store import Store

FOLDER = "offers"


def hand_in(store: Store, bundle: Bundle, now: datetime) -> bool:
    """
    Hand a bundle in for an owner to publish. False if it is published already.

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
    return True


def waiting(store: Store) -> list[tuple[str, shape.Bundle]]:
    """Return the bundles that wait for an owner, each with its hash."""
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
