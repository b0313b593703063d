"""Erasing: hidden at once, withdrawn by any owner, carried out after the delay, and then gone."""

from datetime import timedelta

import pytest

from twoturns.ledger import private
from twoturns.store.backup import back_up
from twoturns.store.bundles import publish
from twoturns.store.gather import gather
from workshop import clients, opening, private_value, publish_tiny, ref, uuid7

WHY = {"reason": "the customer asked", "basis": "GDPR 17(1)(b)"}
DAY = timedelta(days=1)


class Shop:
    """A workshop of two owners, a mechanic and an auditor, with one job of the tiny procedure."""

    def __init__(self, workshop):
        self.workshop, self.ledger = workshop, workshop.store.ledger
        self.erasing = workshop.store.erasing
        self.views, self.blobs = workshop.store.views, workshop.store.blobs
        self.first, self.second = workshop.enrol("owner"), workshop.enrol("owner")
        self.mechanic = workshop.enrol("mechanic")
        self.bundle = publish_tiny(workshop.store)
        self.vin, self.plate = private_value("vin", "TT 7"), private_value("plate", "WEIR 7")
        self.values = [private.blob_id(self.vin), private.blob_id(self.plate)]
        self.job = uuid7()
        body = opening(self.vin, self.plate, bundle=self.bundle.sha256)
        opened = self.mechanic.write("job.opened", body, self.job)
        assert workshop.push(opened, blobs=(self.vin, self.plate)).refused == []
        self.people = {"first": self.first, "second": self.second, "mechanic": self.mechanic}
        self.people["auditor"] = workshop.enrol("auditor")
        self.open_client = clients(workshop)
        self.pass_days(8)  # both owners are known by now

    def say(self, phone, kind: str, body: dict):
        said = phone.write(kind, body)
        assert self.workshop.push(said).refused == []
        return said.id

    def order(self, blobs: list[str], by=None) -> str:
        return self.say(by or self.first, "erasure.ordered", {"blobs": blobs, **WHY})

    def word(self, phone, kind: str, order: str) -> None:
        self.say(phone, kind, {"order": order, "because": "so it is"})

    def pass_days(self, days: float) -> int:
        self.workshop.now += days * DAY
        return self.erasing.carry_out_orders(self.workshop.now)

    def client(self, who: str):
        return self.open_client(self.people[who])

    def sees(self, who: str, blob: str) -> bool:
        answer = self.client(who).get(f"/api/blobs/{blob}")
        assert answer.status_code in (200, 404)
        return answer.status_code == 200

    def here(self) -> list[bool]:
        return [self.blobs.has(blob) for blob in self.values]


@pytest.fixture
def shop(workshop) -> Shop:
    return Shop(workshop)


def test_one_owners_device_erases_nothing_by_itself(shop):
    """Review of the first edition: 212 `blob.erased` of one device, 212 of 212 files gone."""
    shop.order([*shop.values, shop.bundle.sha256])
    assert shop.here() == [True, True]
    assert shop.pass_days(6.9) == 0
    assert shop.here() == [True, True]


def test_one_owners_device_erases_nothing_by_its_word_nor_empties_the_backup(shop, tmp_path):
    target = tmp_path / "another-disk"
    back_up(shop.workshop.store, target, shop.workshop.now)
    kept = shop.views.kept()
    said = [shop.first.write("blob.erased", {"blob": blob, **WHY}) for blob in kept]
    answer = shop.client("first").push(*said)
    assert answer.json["refused"] == []  # it is kept, and proves nothing
    back_up(shop.workshop.store, target, shop.workshop.now)
    places = [target / "blobs" / blob[:2] / blob for blob in kept]
    assert [shop.blobs.has(blob) for blob in kept] == [True] * len(kept)
    assert [place.exists() for place in places] == [True] * len(kept)
    assert gather(
        shop.workshop.store, shop.job, groups=["vin"], originals=True, made_on="2026-12-01"
    ).bundle


def test_an_order_hides_at_once_from_all_but_owners(shop):
    vin, _ = shop.values
    assert all(shop.sees(who, vin) for who in shop.people)
    shop.order([vin])
    assert [who for who in shop.people if shop.sees(who, vin)] == ["first", "second"]
    find = {"vin": "TT 7"}
    auditor = shop.client("auditor")
    assert auditor.post("/api/find", find).json["jobs"] == []
    (row,) = auditor.post("/api/find", {"plate": "WEIR 7"}).json["jobs"]
    assert (row["vin"], row["plate"]) == (None, "WEIR 7")
    assert len(shop.client("first").post("/api/find", find).json["jobs"]) == 1
    bag = gather(
        shop.workshop.store, shop.job, groups=["vin"], originals=False, made_on="2026-12-01"
    )
    (said,) = [one for one in bag.disclosures if one.blob == vin]
    assert (said.state, said.reason) == ("withheld", "its erasure has been ordered")


def test_no_page_of_what_is_found_tells_that_something_hidden_was(shop):
    phone = shop.workshop.enrol("mechanic")
    jobs = [shop.workshop.open_job(phone, vin="TT HIDDEN") for _ in range(2)]
    found = shop.views.find("vin", "TT HIDDEN")
    assert {row["job"] for row in found} == {*jobs}
    shop.order([row["vin_blob"] for row in found])
    page = shop.client("auditor").post("/api/find", {"vin": "TT HIDDEN", "most": 1})
    assert page.json == {"jobs": [], "next": None}
    page = shop.client("first").post("/api/find", {"vin": "TT HIDDEN", "most": 1})
    assert page.json["next"] == page.json["jobs"][0]["job"]


def test_what_is_left_of_a_thumbnail_in_the_making_goes_with_the_photo(shop):
    blob, blobs = shop.workshop.store.blobs.put(b"a photo"), shop.workshop.store.blobs
    # Its process was killed.
    left = blobs.thumbnail_path(blob).with_name(f"{blob}.0123456789abcdef")
    left.parent.mkdir(parents=True)
    left.write_bytes(b"pixels")
    blobs.erase(blob)
    assert not left.exists()


def test_it_is_carried_out_after_the_delay_by_the_workshop(shop):
    shop.order(shop.values)
    assert shop.pass_days(7) == 2
    assert shop.here() == [False, False]
    assert shop.views.find("vin", "TT 7") == []
    assert not shop.sees("first", shop.values[0])
    rows = shop.workshop.store.database.rows(
        "select device, standing from entries where kind = 'blob.erased'"
    )
    console = shop.workshop.store.ledger.workshop
    assert [(row["device"], row["standing"]) for row in rows] == [(console, "good")] * 2
    assert shop.pass_days(7) == 0  # once


def test_any_owner_withdraws_it_meanwhile(shop):
    order = shop.order(shop.values)
    shop.word(shop.second, "erasure.withdrawn", order)
    assert shop.sees("mechanic", shop.values[0])
    assert shop.pass_days(30) == 0
    assert shop.here() == [True, True]


def test_a_withdrawal_that_is_brought_back_before_its_order_still_holds(shop):
    """After a restore phones offer what they hold in any order."""
    order = shop.first.write("erasure.ordered", {"blobs": shop.values, **WHY})
    shop.word(shop.second, "erasure.withdrawn", order.id)
    assert shop.workshop.push(order).refused == []
    assert shop.pass_days(30) == 0
    assert shop.here() == [True, True]


def test_a_second_owner_carries_it_out_at_once(shop):
    order = shop.order(shop.values)
    shop.word(shop.second, "erasure.hastened", order)
    assert shop.here() == [False, False]


def test_the_console_carries_it_out_at_once(shop):
    order = shop.order(shop.values)
    body = {"order": order, "because": "a court said so"}
    shop.ledger.state("erasure.hastened", body, shop.workshop.now)
    assert shop.pass_days(0) == 2
    assert shop.here() == [False, False]


def test_the_one_who_ordered_is_no_second_voice(shop):
    order = shop.order(shop.values)
    shop.word(shop.first, "erasure.hastened", order)
    # Nor does it help to name the other owner.
    said = shop.first.write(
        "erasure.hastened",
        {"order": order, "because": "now"},
        person=shop.second.person,
    )
    shop.workshop.push(said)
    assert shop.here() == [True, True]
    assert shop.pass_days(1) == 0


def test_a_second_owner_whom_the_thief_invites_is_no_second_voice(shop):
    order = shop.order(shop.values)
    newcomer = shop.workshop.enrol("owner")
    shop.word(newcomer, "erasure.hastened", order)
    assert shop.pass_days(1) == 0
    assert shop.here() == [True, True]


def test_a_mechanic_orders_withdraws_and_hastens_nothing(shop):
    shop.order(shop.values, by=shop.mechanic)
    assert shop.pass_days(8) == 0
    order = shop.order(shop.values)
    shop.word(shop.mechanic, "erasure.hastened", order)
    shop.word(shop.mechanic, "erasure.withdrawn", order)
    assert shop.here() == [True, True]
    assert shop.pass_days(7) == 2


def test_a_procedure_and_its_pictures_are_never_erased(shop):
    (picture,) = [asset["blob"] for asset in shop.bundle.bundle["assets"]]
    order = shop.order([shop.bundle.sha256, picture, *shop.values])
    assert shop.sees("mechanic", shop.bundle.sha256)
    shop.word(shop.second, "erasure.hastened", order)
    assert shop.here() == [False, False]
    assert [shop.blobs.has(one) for one in (shop.bundle.sha256, picture)] == [True, True]
    # Not even by the console's own word.
    body = {"blob": shop.bundle.sha256, **WHY}
    shop.ledger.state("blob.erased", body, shop.workshop.now)
    assert shop.blobs.has(shop.bundle.sha256)
    assert len(shop.views.bundles()) == 1
    (told,) = shop.erasing.orders()
    assert (told.state, told.left, len(told.blobs)) == ("carried-out", [], 4)


def test_a_procedure_that_was_erased_before_comes_back_when_it_is_published_again(shop):
    """In the first edition a bag of its jobs was refused for ever: 409 bundle-missing."""
    for blob in (shop.bundle.sha256, *(one["blob"] for one in shop.bundle.bundle["assets"])):
        shop.blobs.erase(blob)
    shop.workshop.store.rebuild()
    publish(shop.workshop.store, shop.bundle, shop.workshop.now)
    assert len(shop.views.bundles()) == 1
    assert gather(
        shop.workshop.store, shop.job, groups=[], originals=False, made_on="2026-12-01"
    ).bundle


def test_a_days_most_holds_back_what_is_more_and_splits_no_order(shop):
    body = {"delay_days": 7, "blobs_a_day": 3}
    shop.say(shop.first, "erasure.ruled", body)
    shop.pass_days(7)
    photos = [shop.blobs.put(f"photo {n}".encode()) for n in range(4)]
    shop.ledger.keep(photos, shop.workshop.now)
    shop.order(shop.values)
    shop.workshop.now += timedelta(minutes=1)
    shop.order(photos)
    assert shop.pass_days(7) == 2
    assert shop.pass_days(0.5) == 0
    assert shop.pass_days(0.6) == 4  # more than a day's most, and whole


def test_delay_and_most_change_only_after_the_old_delay(shop):
    """A thief's first act would be to make the delay one day and the most endless."""
    rule = shop.say(shop.first, "erasure.ruled", {"delay_days": 1, "blobs_a_day": 99_999})
    order = shop.order(shop.values)
    assert shop.pass_days(1.1) == 0
    now, stated = shop.erasing.rules(shop.workshop.now)
    assert (now.delay_days, now.blobs_a_day, len(stated)) == (7, 500, 1)
    shop.word(shop.second, "erasure.withdrawn", order)
    shop.word(shop.second, "erasure.withdrawn", rule)
    shop.pass_days(10)
    assert shop.erasing.rules(shop.workshop.now)[0].delay_days == 7
    shop.say(shop.first, "erasure.ruled", {"delay_days": 3, "blobs_a_day": 500})
    shop.pass_days(7)
    shop.order(shop.values)
    assert shop.pass_days(3) == 2
    # And one that the law would not wait for does not count.
    shop.say(shop.first, "erasure.ruled", {"delay_days": 10_000, "blobs_a_day": 500})
    shop.pass_days(3)
    assert shop.erasing.rules(shop.workshop.now)[0].delay_days == 3


def test_a_backup_removes_only_what_was_carried_out(shop, tmp_path):
    target = tmp_path / "another-disk"
    places = [target / "blobs" / blob[:2] / blob for blob in shop.values]
    shop.order(shop.values)
    back_up(shop.workshop.store, target, shop.workshop.now)
    assert [place.exists() for place in places] == [True, True]
    shop.pass_days(7)
    back_up(shop.workshop.store, target, shop.workshop.now)
    assert [place.exists() for place in places] == [False, False]


@pytest.mark.embedded("it looks for the value in SQLite's file")
def test_nothing_of_an_erased_value_is_left_in_the_folder(shop):
    """Review of the first edition: the erased VIN stood 76 times in the log beside the file."""
    name = b"TT0UNMISTAKABLE01"
    value = private_value("vin", name.decode())
    body = opening(value, shop.plate, bundle=shop.bundle.sha256)
    shop.workshop.push(shop.mechanic.write("job.opened", body, uuid7()), blobs=(value,))

    def found() -> list[str]:
        files = [path for path in shop.workshop.folder.rglob("*") if path.is_file()]
        return [path.name for path in files if name in path.read_bytes()]

    assert "ledger.db-wal" in found() or "ledger.db" in found()
    order = shop.order([ref(value)["blob"]])
    shop.word(shop.second, "erasure.hastened", order)
    assert found() == []


def test_a_value_erased_while_it_comes_in_does_not_stay(shop, monkeypatch):
    value = private_value("words", "said too much")
    put_all = shop.blobs.put_all

    def put_and_erase(data):
        body = {"blob": private.blob_id(data[0]), **WHY}
        shop.ledger.state("blob.erased", body, shop.workshop.now)
        return put_all(data)

    monkeypatch.setattr(shop.ledger._blobs, "put_all", put_and_erase)
    shop.workshop.push(blobs=(value,))
    assert not shop.blobs.has(private.blob_id(value))


def test_orders_rebuilt_are_the_same(shop):
    first, second = shop.order(shop.values), shop.order([shop.values[0]])
    shop.word(shop.second, "erasure.withdrawn", second)
    shop.say(shop.first, "erasure.ruled", {"delay_days": 2, "blobs_a_day": 9})
    shop.pass_days(7)
    before = shop.erasing.orders(), shop.erasing.rules(shop.workshop.now)
    shop.workshop.store.rebuild()
    assert (shop.erasing.orders(), shop.erasing.rules(shop.workshop.now)) == before
    assert [told.state for told in before[0]] == ["withdrawn", "carried-out"]
    assert {told.row["id"] for told in before[0]} == {first, second}
