"""What takes a `stop` otherwise is published by an owner's device, never by the console."""

import pytest

from tiny_procedure import TINY_BY_WORD
from twoturns.procedure.compile.bundle import Bundle
from twoturns.procedure.rules.house import Rule
from twoturns.store.bundles import publish, put
from twoturns.store.errors import BundleRefused
from twoturns.store.offers import FOLDER, hand_in, waiting
from workshop import NOON, opening, private_value, publish_tiny, tiny_bundle, uuid7


def by_a_makers_word() -> Bundle:
    return tiny_bundle(source=TINY_BY_WORD)


def by_a_word_on_what_asks() -> Bundle:
    asks = Rule(
        "hurried", "ask", "Turn it at once", ("turn_crank",), (("lock", ("in",)),), "It slips."
    )
    word = TINY_BY_WORD.replace("  crank_turned_against_a_lock:", "  hurried:")
    return tiny_bundle(source=word, rules=[asks])


def published(bundle):
    said = bundle.bundle
    return {
        "bundle": bundle.sha256,
        "name": said["name"],
        "edition": said["edition"],
        "engine_codes": said["engine_codes"],
    }


def test_the_console_does_not_publish_it(workshop):
    size = workshop.store.ledger.size()
    with pytest.raises(BundleRefused) as refused:
        publish(workshop.store, by_a_makers_word(), NOON)
    assert refused.value.code == "owner-must-publish"
    assert workshop.store.ledger.size() == size


def test_what_the_key_says_past_the_command_lets_nobody_work_by_it(workshop):
    bundle, owner = by_a_makers_word(), workshop.enrol("owner")
    put(workshop.store, bundle, NOON)
    workshop.store.ledger.state("bundle.published", published(bundle), NOON)
    assert workshop.store.views.bundles() == []
    phone, job = workshop.enrol("mechanic"), uuid7()
    values = [private_value("vin", "TT1"), private_value("plate", "W1")]
    said = phone.write("job.opened", opening(*values, bundle=bundle.sha256), job)
    workshop.push(said, blobs=tuple(values))
    assert "bundle-not-published" in [one["code"] for one in workshop.store.views.notices(job)]
    assert workshop.store.rebuild() == []
    assert workshop.store.views.bundles() == []
    workshop.push(owner.write("bundle.published", published(bundle)))
    assert [row["bundle"] for row in workshop.store.views.bundles()] == [bundle.sha256]


def test_in_place_of_what_only_asks_the_console_publishes(workshop):
    assert publish(workshop.store, by_a_word_on_what_asks(), NOON)


def test_handed_in_it_waits_and_nobody_works_by_it_until_an_owner_publishes(workshop):
    owner, bundle = workshop.enrol("owner"), by_a_makers_word()
    assert hand_in(workshop.store, bundle, NOON)
    assert hand_in(workshop.store, bundle, NOON)
    assert [sha256 for sha256, _ in waiting(workshop.store)[0]] == [bundle.sha256]
    assert workshop.store.views.bundles() == []
    workshop.push(owner.write("bundle.published", published(bundle)))
    assert [row["bundle"] for row in workshop.store.views.bundles()] == [bundle.sha256]
    assert waiting(workshop.store) == ([], [])
    assert not hand_in(workshop.store, bundle, NOON)


def test_an_older_edition_is_not_handed_in_over_a_newer(workshop):
    publish_tiny(workshop.store, edition=2)
    with pytest.raises(BundleRefused) as refused:
        hand_in(workshop.store, by_a_makers_word(), NOON)
    assert refused.value.code == "edition-not-newer"


def of_edition(edition, says="It is turned with the pin in its slack hole.") -> Bundle:
    source = TINY_BY_WORD.replace("edition: 1", f"edition: {edition}", 1)
    source = source.replace("It is turned with the pin in its slack hole.", says)
    return tiny_bundle(edition, source=source)


def test_of_one_edition_the_last_handed_in_waits(workshop):
    first, corrected, next_one = of_edition(1), of_edition(1, "Turn it by hand."), of_edition(2)
    for bundle in (first, corrected):
        hand_in(workshop.store, bundle, NOON)
    assert [sha256 for sha256, _ in waiting(workshop.store)[0]] == [corrected.sha256]
    hand_in(workshop.store, next_one, NOON)
    assert [sha256 for sha256, _ in waiting(workshop.store)[0]] == [next_one.sha256]


def test_what_a_published_edition_has_overtaken_waits_no_longer(workshop):
    owner, newer, older = workshop.enrol("owner"), of_edition(2), of_edition(1)
    hand_in(workshop.store, newer, NOON)
    hand_in(workshop.store, older, NOON)
    assert len(waiting(workshop.store)[0]) == 2
    workshop.push(owner.write("bundle.published", published(newer)))
    waits, ((sha256, _, edition),) = waiting(workshop.store)
    assert (waits, sha256, edition) == ([], older.sha256, 2)


def test_a_note_that_names_nothing_is_passed_over(workshop):
    folder = workshop.store.folder / FOLDER
    folder.mkdir()
    (folder / ("0" * 64)).touch()
    (folder / ("z" * 64)).touch()
    (folder / "a note by hand.txt").touch()
    assert waiting(workshop.store) == ([], [])
