"""
The page that a customer opens by the code on the sheet: one job's words, and nobody else's.

What is asked of such a link (256 bits, kept as a hash, in no address that is sent, with an end) is
W3C's, "Good Practices for Capability URLs" (2014), sections 4 and 5.
"""

import hashlib
import io
import secrets
from datetime import timedelta

import pytest
from PIL import Image

from bag_verifier import check
from bags import BagWorkshop, unpacked, verdict_of
from twoturns.ledger import base64url, private
from twoturns.web.limits import PAGE_BAGS, PAGES
from workshop import NOON, clients, opening, private_value, ref, uuid7

VIN, PLATE = private_value("vin", "TTW12345678901234"), private_value("plate", "WEIR 12")
UNTIL = "2026-12-24T12:00:00.000Z"


def rows(*more: dict) -> list[dict]:
    said = {"under": "What was done", "name": "Fit", "says": "Belt on; Pump on"}
    return [said, {"under": "The vehicle", "name": "Plate", "value": ref(PLATE)}, *more]


class Shared:
    """A job with a page: the secret is in nobody's ledger."""

    def __init__(self, workshop, open_client):
        self.workshop, self.open_client = workshop, open_client
        self.phone, self.owner = workshop.enrol("mechanic"), workshop.enrol("owner")
        self.job = uuid7()
        opened = self.phone.write("job.opened", opening(VIN, PLATE), self.job)
        workshop.push(opened, blobs=(VIN, PLATE))
        self.asker = open_client()

    def say(self, kind: str, body: dict, job: str | None = None, by=None) -> str:
        said = (by or self.phone).write(kind, body, job or self.job)
        assert self.workshop.push(said).refused == []
        return said.id

    def share(self, until: str = UNTIL, **more) -> tuple[str, str]:
        """Return the secret and the entry."""
        secret = base64url.encode(secrets.token_bytes(32))
        token = hashlib.sha256(secret.encode()).hexdigest()
        body = {"token": token, "until": until, "rows": rows()} | more
        return secret, self.say("page.shared", body)

    def ask(self, secret: str, path: str = "/api/page"):
        return self.asker.get(path, Authorization=f"Bearer {secret}")


@pytest.fixture
def shared(workshop, open_client) -> Shared:
    return Shared(workshop, open_client)


def test_who_has_the_secret_reads_what_was_shared_and_nothing_else(shared):
    secret, entry = shared.share()
    answer = shared.ask(secret)
    assert answer.status_code == 200
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.json == {
        "workshop": shared.workshop.store.name,
        "said": answer.json["said"],
        "until": UNTIL,
        "foot": entry[:12],
        "rows": [
            {"under": "What was done", "name": "Fit", "says": "Belt on; Pump on"}
            | {"value": None, "is_private": False},
            {"under": "The vehicle", "name": "Plate", "says": None}
            | {"value": "WEIR 12", "is_private": True},
        ],
        "photos": [],
        "has_bag": False,
    }
    assert shared.job not in answer.text
    assert "TTW12345678901234" not in answer.text


def test_the_ledger_keeps_the_hash_of_the_secret_and_not_the_secret(shared):
    secret, _ = shared.share()
    log = shared.open_client(shared.owner).get(f"/api/jobs/{shared.job}/log").text
    assert secret not in log
    assert hashlib.sha256(secret.encode()).hexdigest() in log


@pytest.mark.parametrize(
    "header", ["", "Bearer", "Bearer short", "Basic eDp5", "Bearer " + "A" * 43]
)
def test_whatever_is_wrong_with_the_secret_the_answer_is_one(shared, header):
    shared.share()
    answer = shared.asker.get("/api/page", **({"Authorization": header} if header else {}))
    assert (answer.status_code, answer.json["code"]) == (404, "no-page")


def test_a_page_ends_at_its_time(shared):
    secret, _ = shared.share(until="2026-11-24T13:00:00.000Z")
    assert shared.ask(secret).status_code == 200
    shared.workshop.now = NOON + timedelta(hours=2)
    assert shared.ask(secret).json["code"] == "no-page"


def test_a_device_whose_clock_is_years_ahead_opens_no_page_for_years(shared):
    secret, _ = shared.share(until="2099-01-01T00:00:00.000Z")
    assert shared.ask(secret).json["until"] == "2027-11-25T12:00:00.000Z"
    shared.workshop.now = NOON + timedelta(days=367)
    assert shared.ask(secret).json["code"] == "no-page"


def test_a_page_ends_when_it_is_ended(shared):
    secret, entry = shared.share()
    other, _ = shared.share()
    shared.say("page.ended", {"page": entry}, by=shared.owner)
    assert shared.ask(secret).json["code"] == "no-page"
    assert shared.ask(other).status_code == 200


def test_a_page_ends_as_soon_as_anything_on_it_is_ordered_erased(shared):
    secret, _ = shared.share()
    order = {"blobs": [private.blob_id(PLATE)], "reason": "asked for", "basis": "art. 17"}
    shared.workshop.push(shared.owner.write("erasure.ordered", order))
    assert shared.ask(secret).json["code"] == "no-page"


def test_an_end_that_an_auditor_writes_is_none_and_so_is_a_page(shared):
    secret, entry = shared.share()
    auditor = shared.workshop.enrol("auditor")
    auditor.heads[shared.job] = shared.phone.heads[shared.job]
    shared.say("page.ended", {"page": entry}, by=auditor)
    assert shared.ask(secret).status_code == 200


def test_a_page_shows_no_word_and_no_photo_of_another_job(shared):
    """Every device is told the hashes of all blobs: to name one is no right to read it."""
    vin = private_value("vin", "OTHER1")
    other = uuid7()
    opened = shared.phone.write("job.opened", opening(vin, PLATE), other)
    shared.workshop.push(opened, blobs=(vin,))
    stolen = {"under": "x", "name": "VIN", "value": ref(vin)}
    secret, _ = shared.share(rows=rows(stolen))
    assert shared.ask(secret).json["rows"][-1]["value"] is None
    assert "OTHER1" not in shared.ask(secret).text


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (1600, 1200), (90, 120, 90)).save(out, "JPEG")
    return out.getvalue()


def test_only_the_photos_that_were_chosen_are_shown_as_small_copies(shared):
    photos = [picture(), picture() + b"\x00"]
    taken = [
        shared.say(
            "photo.taken",
            {"step": "a", "name": "n", "blob": private.blob_id(one), "size": len(one)}
            | {"type": "image/jpeg", "width": 1600, "height": 1200, "how": "live"},
        )
        for one in photos
    ]
    store = shared.workshop.store
    store.ledger.keep([store.blobs.put(one) for one in photos], NOON)
    secret, _ = shared.share(photos=[{"photo": taken[0], "label": "The drive"}])
    (shown,) = shared.ask(secret).json["photos"]
    assert shown == {"blob": hashlib.sha256(photos[0]).hexdigest(), "label": "The drive"}
    answer = shared.ask(secret, f"/api/page/photos/{shown['blob']}")
    assert answer.status_code == 200
    assert answer.headers["Cache-Control"] == "no-store"
    assert Image.open(io.BytesIO(answer.data)).width == 1280
    unchosen = hashlib.sha256(photos[1]).hexdigest()
    assert shared.ask(secret, f"/api/page/photos/{unchosen}").status_code == 404
    assert shared.ask("A" * 43, f"/api/page/photos/{shown['blob']}").json["code"] == "no-page"


def test_who_asks_without_end_is_told_to_wait(shared):
    for _ in range(int(PAGES.most)):
        assert shared.ask("A" * 43).status_code == 404
    answer = shared.ask("A" * 43)
    assert (answer.status_code, answer.json["code"]) == (429, "too-many-requests")
    assert int(answer.headers["Retry-After"]) >= 1


def test_nobody_takes_the_place_of_a_page_with_its_hash(shared):
    """The hash of the secret stands in the log, for everybody who sees the job."""
    secret, entry = shared.share()
    token = hashlib.sha256(secret.encode()).hexdigest()
    forged = [{"under": "x", "name": "Fit", "says": "Come back at once"}]
    body = {"token": token, "until": UNTIL, "rows": forged}
    other = uuid7()
    shared.workshop.push(shared.phone.write("job.opened", opening(VIN, PLATE), other))
    for job in (shared.job, other):
        shared.say("page.shared", body, job)
        assert shared.ask(secret).json["foot"] == entry[:12]
    shared.say("page.ended", {"page": entry})
    assert shared.ask(secret).json["code"] == "no-page"


class WholeJob:
    """A whole job of Ottoline Marsh's with a photo, and pages that show its plate."""

    def __init__(self, folder):
        self.workshop = BagWorkshop(folder)
        self.ada = self.workshop.phone("mechanic", "Ada")
        self.work = self.workshop.job(self.ada)
        self.work.run(self.ada)
        self.workshop.deliver(self.ada)
        records = self.workshop.store.ledger.job_entries(self.work.job)
        self.photos = [one.entry for _, one, _ in records if one.entry.kind == "photo.taken"]
        self.plate = records[0][1].entry.body["plate"]
        self.asker = clients(self.workshop)()

    def share(self, *, has_photo: bool = True, **more) -> str:
        secret = base64url.encode(secrets.token_bytes(32))
        plate = {"under": "The vehicle", "name": "Plate", "value": self.plate}
        photos = [{"photo": one.id, "label": "The drive"} for one in self.photos]
        more |= {"photos": photos} if has_photo else {}
        token = hashlib.sha256(secret.encode()).hexdigest()
        body = {"token": token, "until": UNTIL, "rows": [plate], **more}
        self.work.write(self.ada, "page.shared", body)
        self.workshop.deliver(self.ada)
        return secret

    def ask(self, secret: str):
        return self.asker.get("/api/page/bag", Authorization=f"Bearer {secret}")


@pytest.fixture
def whole(tmp_path):
    return WholeJob(tmp_path / "data")


def test_a_customer_takes_the_bag_along_with_what_the_page_shows_and_no_more(whole):
    answer = whole.ask(whole.share(bag="copies"))
    assert (answer.status_code, answer.headers["Cache-Control"]) == (200, "no-store")
    assert verdict_of(answer.data).holds
    assert check(io.BytesIO(answer.data)) == whole.workshop.store.ledger.workshop
    files = unpacked(answer.data)
    shown = {name.rsplit("/", 1)[1].partition(".")[0] for name in files if "/blobs/" in name}
    assert shown == {whole.plate["blob"]}
    copies = [name for name in files if name.startswith(("data/photos/", "data/copies/"))]
    assert copies == [f"data/copies/{whole.photos[0].body['blob']}.jpg"]
    none = unpacked(whole.ask(whole.share(has_photo=False, bag="copies")).data)
    assert [name for name in none if name.startswith(("data/photos/", "data/copies/"))] == []
    assert b"Ottoline" not in b"".join(files.values())
    assert b"WEIR 12" in b"".join(files.values())


def test_a_page_without_the_bag_gives_none_and_one_that_is_over_no_more(whole):
    assert whole.ask(whole.share()).json["code"] == "not-found"
    secret = whole.share(bag="copies")
    order = {"blobs": [whole.plate["blob"]], "reason": "asked for", "basis": "art. 17"}
    whole.workshop.push(whole.workshop.enrol("owner").write("erasure.ordered", order))
    assert whole.ask(secret).json["code"] == "no-page"


def test_the_bag_of_a_page_is_packed_only_so_often(whole):
    secret = whole.share(bag="copies")
    for _ in range(int(PAGE_BAGS.most)):
        whole.ask(secret).close()
    answer = whole.ask(secret)
    assert (answer.status_code, answer.json["code"]) == (429, "too-many-requests")
