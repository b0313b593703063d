"""The owner's day: what came in, what is due and who to call, what the work tells, who is there."""

from datetime import timedelta

import pytest

from tiny_procedure import TINY_SOURCE
from twoturns.ledger import private
from twoturns.store import as_text
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.bundles import publish
from twoturns.store.rebuild import rebuild_views
from twoturns.store.summaries import fill
from workshop import NOON, opening, private_value, publish_tiny, ref, tiny_bundle, uuid7

VIN, PLATE = "TT000000000000007", "WEIR 7"
CUSTOMER, PHONE = private_value("customer", "Ada Thorn"), private_value("phone", "0550 1234")


@pytest.fixture
def shop(workshop, open_client):
    workshop.bundle = publish_tiny(workshop.store)
    workshop.phone, workshop.owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    workshop.client = lambda: signed_in(workshop, open_client)
    return workshop


def signed_in(shop, open_client):
    fill(shop.store)
    return open_client(shop.owner)


def opened(shop, km: int = 60_000, *, vin: str = VIN, more=()) -> str:
    job, values = uuid7(), (private_value("vin", vin), private_value("plate", PLATE))
    body = opening(*values, bundle=shop.bundle.sha256) | {"odometer_km": km}
    body |= {name: ref(data) for name, data in more}
    blobs = (*values, *(data for _, data in more))
    assert shop.push(shop.phone.write("job.opened", body, job), blobs=blobs).refused == []
    return job


def say(shop, kind: str, body: dict, job: str, *, minutes: float = 0):
    """Write an entry whose device's clock stands so many minutes after noon."""
    at = as_text(NOON + timedelta(minutes=minutes))
    said = shop.phone.write(kind, body, job, at=at)
    assert shop.push(said).refused == []
    return said


def finish(shop, job: str) -> None:
    shop.push(shop.phone.write("job.closed", {"end": "finished"}, job))


def test_todays_jobs_are_those_of_which_something_came_since_midnight(shop):
    before = opened(shop)
    shop.now += timedelta(days=1)
    midnight, job = as_text(shop.now), opened(shop)
    shop.push(shop.phone.write("step.begun", {"step": "lock_in"}, job))
    answer = shop.client().get(f"/api/today?since={midnight}").json
    (row,) = answer["jobs"]
    assert (row["job"], row["is_new"], answer["is_more"]) == (job, True, False)
    assert row["kinds"] == {"job.opened": 1, "step.begun": 1}
    assert row["persons"] == [shop.phone.person]
    shop.now += timedelta(hours=1)
    shop.push(shop.phone.write("step.begun", {"step": "lock_in"}, before))
    rows = shop.client().get(f"/api/today?since={midnight}&most=1").json
    assert ([row["job"] for row in rows["jobs"]], rows["is_more"]) == ([before], True)
    assert (rows["jobs"][0]["kinds"], rows["jobs"][0]["is_new"]) == ({"step.begun": 1}, False)


def test_a_jobs_line_names_who_worked_and_how_it_stands(shop):
    job = opened(shop, more=(("customer", CUSTOMER),))
    shop.push(shop.phone.write("step.done", {"step": "lock_in", "proof": []}, job))
    (row,) = shop.client().get("/api/jobs").json["jobs"]
    assert (row["customer"], row["phone"]) == (private.blob_id(CUSTOMER), None)
    assert row["persons"] == [shop.phone.person]
    assert (row["state"], row["done"], row["steps"]) == ("open", 1, 5)


def test_a_belt_is_due_by_its_date_until_the_vehicles_own_use_is_known(shop):
    job = opened(shop, 60_000, more=(("customer", CUSTOMER), ("phone", PHONE)))
    finish(shop, job)
    interval = shop.bundle.bundle["interval"]
    (row,) = shop.client().get("/api/due").json["dues"]
    assert (row["job"], row["plate"], row["by"]) == (job, "WEIR 7", "date")
    assert row["limit_km"] == 60_000 + interval["km"]
    years = NOON.year + interval["months"] // 12
    assert row["limit_day"] == row["day"] == f"{years}-{NOON:%m-%d}"
    assert row["km_a_year"] is None
    assert (row["customer_name"], row["telephone"]) == ("Ada Thorn", "0550 1234")
    assert row["even_km_a_year"] == pytest.approx(
        interval["km"] / (interval["months"] / 12), rel=0.01
    )


def test_the_forecast_goes_by_the_workshops_own_readings_of_the_vehicle(shop):
    finish(shop, opened(shop, 60_000))
    shop.now += timedelta(days=365)
    job = opened(shop, 120_000)  # 60,000 km a year: any interval of the tiny one ends by distance
    finish(shop, job)
    (row,) = shop.client().get("/api/due").json["dues"]  # the former belt is out
    assert (row["job"], row["by"]) == (job, "distance")
    assert row["km_a_year"] == pytest.approx(60_000, rel=0.01)
    assert row["earliest"] < row["day"] < row["latest"]


def test_an_odometer_that_went_backward_is_named_and_the_date_counts(shop):
    finish(shop, opened(shop, 90_000))
    shop.now += timedelta(days=365)
    finish(shop, opened(shop, 60_000))
    (row,) = shop.client().get("/api/due").json["dues"]
    assert row["by"] == "date"
    assert "backward" in row["oddities"][0]


def test_what_is_due_comes_page_by_page_in_the_order_of_the_days(shop):
    jobs = []
    for n in range(3):
        jobs.append(opened(shop, vin=f"TT{n}"))
        finish(shop, jobs[-1])
        shop.now += timedelta(days=40)
    client, found, after = shop.client(), [], ""
    while True:
        page = client.get(f"/api/due?most=1{after}").json
        found += [row["job"] for row in page["dues"]]
        if page["next"] is None:
            break
        after = f"&after={page['next']}"
    assert found == jobs


def test_a_job_that_ended_otherwise_has_no_belt_that_is_due(shop):
    job = opened(shop)
    shop.push(shop.phone.write("job.closed", {"end": "given_back"}, job))
    assert shop.client().get("/api/due").json["dues"] == []


@pytest.mark.parametrize("months", [99_999_999, 999_999_999_999_999])
def test_a_belt_that_outlasts_the_calendar_is_never_due(shop, months):
    source = TINY_SOURCE.replace("months: 72", f"months: {months}")
    shop.bundle = tiny_bundle(2, source=source)
    publish(shop.store, shop.bundle, NOON)
    finish(shop, opened(shop))
    assert shop.client().get("/api/due").json["dues"] == []
    assert shop.store.views.unfolded() == []


def figures(shop) -> dict:
    return shop.client().get("/api/figures").json


def test_minutes_are_those_between_begun_and_done_of_one_device(shop):
    job = opened(shop)
    say(shop, "step.begun", {"step": "lock_in"}, job, minutes=0)
    say(shop, "step.done", {"step": "lock_in", "proof": []}, job, minutes=12.5)
    say(shop, "step.begun", {"step": "belt_off"}, job, minutes=20)
    say(shop, "step.done", {"step": "belt_off", "proof": []}, job, minutes=20 + 300)  # overnight
    finish(shop, job)
    said = figures(shop)
    assert said["jobs"] == 1
    (row,) = said["steps"]
    assert (row["minutes"], row["slow_minutes"], row["failed"], row["again"]) == (12.5, 12.5, 0, 0)
    assert row["step"].endswith(title(shop, "lock_in"))


def title(shop, step: str) -> str:
    steps = shop.bundle.bundle["steps"]
    return next(one["title"] for one in steps if one["id"] == step)


def test_what_did_not_hold_is_told_in_the_procedures_words(shop):
    steps = shop.bundle.bundle["steps"]
    step = next(one for one in steps if one["fails"])
    cause = step["fails"][0]
    for right in (True, False):
        job = opened(shop, vin=f"TT{right}")
        if not right:
            said = {"step": step["id"], "failure": cause["id"], "proof": []}
            shop.push(shop.phone.write("step.failed", said, job))
        finish(shop, job)
    said = figures(shop)
    assert [(one["says"], one["often"]) for one in said["causes"]] == [(cause["says"], 1)]
    (month,) = said["months"]
    assert (month["jobs"], month["first_time_right"], month["comebacks"]) == (2, 1, 0)


def test_measured_read_and_said_are_counted_apart(shop):
    job = opened(shop)
    for value, by in (("88.1", "pluck"), ("26", None), ("dry", None)):
        read = {"step": "belt_on", "name": "n", "value": value, "unit": "1"}
        shop.push(shop.phone.write("reading.taken", read | ({"by": by} if by else {}), job))
    finish(shop, job)
    assert figures(shop)["counts"] == {"measured": 1, "read": 1, "said": 1}


def test_the_same_vehicle_within_a_year_came_back(shop):
    first = opened(shop)
    finish(shop, first)
    shop.now += timedelta(days=100)
    second = opened(shop)
    finish(shop, second)
    shop.now += timedelta(days=400)
    finish(shop, opened(shop))
    said = figures(shop)
    assert [(one["job"], one["before"]) for one in said["comebacks"]] == [(second, first)]
    assert sum(month["comebacks"] for month in said["months"]) == 1


def test_figures_are_of_the_jobs_that_were_closed_last(shop):
    for n in range(3):
        finish(shop, opened(shop, vin=f"TT{n}"))
    assert shop.client().get("/api/figures?jobs=2").json["jobs"] == 2
    assert shop.client().get("/api/figures?jobs=0").status_code == 422


def test_devices_tell_when_they_signed_in_and_when_something_came(shop):
    opened(shop)
    sent = shop.now
    shop.now += timedelta(hours=3)
    found = {one["device"]: one for one in shop.client().get("/api/devices").json["devices"]}
    assert found[shop.phone.id] == {
        "device": shop.phone.id,
        "signed_in": None,
        "sent": as_text(sent),
    }
    assert found[shop.owner.id]["signed_in"] == as_text(shop.now)


def test_what_is_due_and_the_figures_are_the_same_once_the_views_are_made_anew(shop):
    for n in range(3):
        finish(shop, opened(shop, 60_000 + 20_000 * n))
        shop.now += timedelta(days=200)
    before = [shop.client().get(path).json for path in ("/api/due", "/api/figures")]
    store = shop.store
    facts = BlobFacts.of_all(store.blobs, store.database)
    with store.database.write() as db:
        rebuild_views(db, store.ledger.workshop, facts)
    assert [shop.client().get(path).json for path in ("/api/due", "/api/figures")] == before


def test_an_erased_telephone_is_told_no_more(shop):
    finish(shop, opened(shop, more=(("phone", PHONE),)))
    blob = private.blob_id(PHONE)
    said = {"blob": blob, "reason": "asked", "basis": "law"}
    shop.store.ledger.state("blob.erased", said, shop.now)
    shop.store.blobs.erase(blob)
    (row,) = shop.client().get("/api/due").json["dues"]
    assert row["telephone"] is None


def test_a_call_that_came_to_nothing_is_no_job_that_was_closed(shop):
    vin, job = private_value("vin", VIN), uuid7()
    taken = shop.phone.write("enquiry.taken", {"vin": ref(vin)}, job)
    declined = shop.phone.write("enquiry.declined", {"enquiry": taken.id, "how": "call"}, job)
    assert shop.push(taken, declined, blobs=(vin,)).refused == []
    shop.now += timedelta(days=1)
    finish(shop, opened(shop))
    said = figures(shop)
    assert (said["jobs"], said["comebacks"]) == (1, [])


def test_figures_are_told_in_no_words_but_those_of_published_procedures(shop):
    """A mechanic's job may name any blob as the procedure that it goes by."""
    first = opened(shop)
    say(shop, "step.begun", {"step": "lock_in"}, first)
    say(shop, "step.done", {"step": "lock_in", "proof": []}, first, minutes=5)
    finish(shop, first)
    steps = figures(shop)["steps"]
    source = TINY_SOURCE.replace(title(shop, "lock_in"), "Never lock")
    forged = tiny_bundle(99, source=source).canonical
    for data in (b"no JSON", b"[]", b'{"id": ["x"], "edition": 1}', forged):
        vin, job = private_value("vin", f"TT{len(data)}"), uuid7()
        opens = opening(vin, vin, bundle=shop.store.blobs.put(data))
        shop.store.ledger.keep([opens["bundle"]], shop.now)
        shop.push(shop.phone.write("job.opened", opens, job), blobs=(vin,))
        finish(shop, job)
    assert b"Never lock" in forged
    said = figures(shop)
    assert (said["jobs"], said["steps"], len(steps)) == (5, steps, 1)
