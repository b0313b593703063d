"""Publishing: whole, once, and never an older edition over a newer."""

import hashlib
from dataclasses import replace

import pytest

from twoturns.procedure.compile.bundle import Bundle, canonical
from twoturns.store.bundles import publish
from twoturns.store.errors import BundleRefused
from workshop import NOON, PICTURE, publish_tiny, tiny_bundle


def listed(workshop) -> list[tuple[str, int, str | None]]:
    rows = workshop.store.views.bundles()
    return [(row["id"], row["edition"], row["withdrawn"]) for row in rows]


def test_publishing_the_same_bytes_again_changes_nothing(workshop):
    bundle = tiny_bundle()
    assert publish(workshop.store, bundle, NOON)
    size = workshop.store.ledger.size()
    assert not publish(workshop.store, bundle, NOON)
    assert workshop.store.ledger.size() == size
    assert listed(workshop) == [("tiny", 1, None)]
    assert workshop.store.rebuild() == []
    assert listed(workshop) == [("tiny", 1, None)]


def test_an_edition_only_grows(workshop):
    publish_tiny(workshop.store, edition=2)
    same_edition = renamed(tiny_bundle(2))
    for other in (tiny_bundle(1), same_edition):
        with pytest.raises(BundleRefused) as refused:
            publish(workshop.store, other, NOON)
        assert refused.value.code == "edition-not-newer"
        assert "Set edition to 3" in refused.value.hint
    assert publish(workshop.store, tiny_bundle(3), NOON)


def renamed(bundle: Bundle) -> Bundle:
    data = canonical({**bundle.bundle, "name": "Another name"})
    return replace(bundle, canonical=data, sha256=hashlib.sha256(data).hexdigest())


def test_a_bundle_with_a_missing_picture_is_refused(workshop):
    with pytest.raises(BundleRefused, match=r"notch\.png") as refused:
        publish(workshop.store, replace(tiny_bundle(), assets={}), NOON)
    assert refused.value.code == "picture-missing"
    assert workshop.store.ledger.size() == 1


def test_a_bundle_an_owner_sends_is_offered_once_its_pictures_are_here(workshop):
    owner, bundle = workshop.enrol("owner"), tiny_bundle()
    body = {"bundle": bundle.sha256, "name": "Tiny", "edition": 1, "engine_codes": ["QL-19D4"]}
    workshop.push(owner.write("bundle.published", body))
    blobs, keep = workshop.store.blobs, workshop.store.ledger.keep
    keep([blobs.put(bundle.canonical)], NOON)
    assert listed(workshop) == []
    keep([blobs.put(PICTURE)], NOON)
    assert listed(workshop) == [("tiny", 1, None)]


def test_a_withdrawn_bundle_says_why_and_is_not_published_again(workshop):
    owner, bundle = workshop.enrol("owner"), tiny_bundle()
    publish(workshop.store, bundle, NOON)
    said = {"bundle": bundle.sha256, "because": "wrong torque on the tensioner"}
    workshop.push(owner.write("bundle.withdrawn", said))
    assert listed(workshop) == [("tiny", 1, "wrong torque on the tensioner")]
    with pytest.raises(BundleRefused) as refused:
        publish(workshop.store, bundle, NOON)
    assert refused.value.code == "bundle-withdrawn"


def test_bytes_that_are_no_bundle_are_never_offered(workshop):
    owner = workshop.enrol("owner")
    blob = workshop.store.blobs.put(b'{"assets":[],"id":"tiny"}')
    workshop.store.ledger.keep([blob], NOON)
    body = {"bundle": blob, "name": "Tiny", "edition": 1, "engine_codes": []}
    workshop.push(owner.write("bundle.published", body))
    assert listed(workshop) == []
