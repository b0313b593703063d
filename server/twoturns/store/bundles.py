"""Publishing a bundle: its pictures, its bytes, and the statement that work may go by it."""

import hashlib
import json
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Protocol

from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import check_bundle
from twoturns.procedure.errors import BundleError
from twoturns.procedure.prove.weight import weigh
from twoturns.procedure.shape import FORM
from twoturns.store.blob_texts import wants_an_owner
from twoturns.store.errors import BundleRefused
from twoturns.store.store import Store
from twoturns.words import t
from twoturns.words.en.store import bundles as words


class Bundle(Protocol):
    """What is published: a bundle as it was compiled just now, or as a check has left it."""

    @property
    def bundle(self) -> shape.Bundle:
        """What it says: plain data."""

    @property
    def canonical(self) -> bytes:
        """Its bytes."""

    @property
    def sha256(self) -> str:
        """Its address: the hash of its bytes."""

    @property
    def assets(self) -> dict[str, bytes]:
        """Its pictures, by their names."""


@dataclass(frozen=True)
class Ready:
    """A bundle that was not compiled just now, with its pictures."""

    bundle: shape.Bundle
    canonical: bytes
    sha256: str
    assets: dict[str, bytes]


def ready(bundle: shape.Bundle, data: bytes, assets: dict[str, bytes]) -> Ready:
    """Return a bundle ready to be published, of the bytes that say it."""
    return Ready(bundle, data, hashlib.sha256(data).hexdigest(), assets)


def publish(store: Store, bundle: Bundle, now: datetime) -> bool:
    """
    Publish a bundle on the console's word. False if these very bytes are published already.

    Raises:
        BundleRefused: `picture-missing` and other faults of the bundle; `edition-not-newer`;
            `bundle-withdrawn`; `owner-must-publish`.
        WorkshopFull: If the disk has no room.
    """
    said = bundle.bundle
    if is_published(store, said, bundle.sha256):
        return False
    if wants_an_owner(said):
        raise BundleRefused(
            t(words.WANTS_AN_OWNER, name=said["name"]),
            hint=t(words.WANTS_AN_OWNER_HINT),
            code="owner-must-publish",
        )
    put(store, bundle, now)
    body = {
        "bundle": bundle.sha256,
        "name": said["name"],
        "edition": said["edition"],
        "engine_codes": said["engine_codes"],
    }
    store.ledger.state("bundle.published", body, now)
    return True


@dataclass(frozen=True)
class MadeWith:
    """A published procedure and one block that it was made with."""

    block: str
    block_edition: int
    name: str
    edition: int
    bundle: str


def made_with_blocks(store: Store) -> list[MadeWith]:
    """Return which published procedures were made with which blocks, by their own record."""
    found = []
    for row in store.views.bundles():
        data = store.blobs.read(row["bundle"])
        for taken in json.loads(data).get("blocks", []) if data else []:
            block = (taken["id"], taken["edition"])
            found.append(MadeWith(*block, row["name"], row["edition"], row["bundle"]))
    return found


def weight_of(store: Store, sha256: str) -> dict[str, object] | None:
    """
    Return what the straight job of a bundle asks of the phone, its steps heaviest first.

    None where its bytes are not at hand, or only a newer program knows their form.
    """
    data = store.blobs.read(sha256)
    if data is None or (bundle := json.loads(data)).get("v") != FORM:
        return None
    weights = weigh(bundle)
    steps = [
        {**{word: bundle["steps"][at][word] for word in ("number", "title")}, "hand": weight.hand}
        for at, weight in weights.steps
    ]
    return {**asdict(weights.whole), "steps": steps}


def put(store: Store, bundle: Bundle, now: datetime) -> None:
    """
    Keep a bundle's bytes and its pictures. That alone lets nobody work by it.

    Raises:
        BundleRefused: `picture-missing` and other faults of the bundle.
        WorkshopFull: If the disk has no room.
    """
    pictures = {hashlib.sha256(data).hexdigest(): data for data in bundle.assets.values()}
    try:
        check_bundle(bundle.canonical, held=pictures)
    except BundleError as error:
        raise BundleRefused(str(error), hint=error.hint, code=error.code) from error
    blobs = [store.blobs.put(data) for data in (*pictures.values(), bundle.canonical)]
    store.ledger.keep(blobs, now)


def is_published(store: Store, said: shape.Bundle, sha256: str) -> bool:
    """
    Say whether these very bytes are published.

    Raises:
        BundleRefused: `edition-not-newer`; `bundle-withdrawn`.
    """
    bundle_id, edition = said["id"], said["edition"]
    for row in store.views.editions(bundle_id):
        if row["bundle"] == sha256:
            if row["withdrawn"] is not None:
                raise BundleRefused(
                    t(words.BUNDLE_WITHDRAWN, withdrawn=row["withdrawn"]),
                    code="bundle-withdrawn",
                    hint=t(words.BUNDLE_WITHDRAWN_HINT),
                )
            return True
        if row["edition"] >= edition:
            raise BundleRefused(
                t(
                    words.EDITION_TAKEN,
                    published=row["edition"],
                    bundle_id=bundle_id,
                    edition=edition,
                ),
                code="edition-not-newer",
                hint=t(words.EDITION_TAKEN_HINT, least=row["edition"] + 1),
            )
    return False
