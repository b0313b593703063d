"""The list of procedures: one request, and no body, while nothing is new.
And each goes on at its byte (RFC 9110, section 14)."""

import pytest

from twoturns.procedure.prove.weight import weigh
from workshop import publish_tiny


def test_a_list_that_has_not_changed_costs_no_body(workshop, open_client):
    client = open_client(workshop.enrol("mechanic"))
    first = client.get("/api/bundles")
    again = client.get("/api/bundles", **{"If-None-Match": first.headers["ETag"]})
    assert (first.status_code, first.json) == (200, {"bundles": []})
    assert (again.status_code, again.data) == (304, b"")


@pytest.fixture
def bundle(workshop):
    return publish_tiny(workshop.store)


def test_a_bundle_goes_on_at_its_byte(workshop, open_client, bundle):
    client, whole = open_client(workshop.enrol("mechanic")), bundle.canonical
    first = client.get(f"/api/bundles/{bundle.sha256}", Range="bytes=0-99")
    etag = first.headers["ETag"]
    assert etag == f'"{bundle.sha256}"'  # strong: a weak one proves no byte
    assert (first.status_code, first.data) == (206, whole[:100])
    assert first.headers["Content-Range"] == f"bytes 0-99/{len(whole)}"
    asked = {"Range": "bytes=100-99999999", "If-Range": etag}
    rest = client.get(f"/api/bundles/{bundle.sha256}", **asked)
    assert (rest.status_code, first.data + rest.data) == (206, whole)
    assert rest.headers["Content-Range"] == f"bytes 100-{len(whole) - 1}/{len(whole)}"
    assert "immutable" in rest.headers["Cache-Control"]


def test_a_half_of_something_else_is_given_the_whole(workshop, open_client, bundle):
    client = open_client(workshop.enrol("mechanic"))
    asked = {"Range": "bytes=100-", "If-Range": f'"{"0" * 64}"'}
    answer = client.get(f"/api/bundles/{bundle.sha256}", **asked)
    assert (answer.status_code, answer.data) == (200, bundle.canonical)


def test_a_range_past_the_end_is_refused_and_told_the_length(workshop, open_client, bundle):
    client, length = open_client(workshop.enrol("mechanic")), len(bundle.canonical)
    answer = client.get(f"/api/bundles/{bundle.sha256}", Range=f"bytes={length}-")
    assert (answer.status_code, answer.json["code"]) == (416, "bad-range")
    assert answer.headers["Content-Range"] == f"bytes */{length}"
    assert answer.json["hint"]


def test_an_owner_sees_what_the_straight_job_asks_of_the_phone(workshop, open_client, bundle):
    owner = open_client(workshop.enrol("owner"))
    answer = owner.get(f"/api/bundles/{bundle.sha256}/weight")
    assert answer.status_code == 200
    weights = weigh(bundle.bundle)
    assert answer.json["touches"] == weights.whole.touches > 0
    assert answer.json["photos"] == weights.whole.photos
    heaviest = answer.json["steps"][0]
    assert (heaviest["title"], heaviest["hand"]) == (
        bundle.bundle["steps"][weights.steps[0][0]]["title"],
        weights.steps[0][1].hand,
    )


def test_the_weight_of_what_is_not_published_is_refused(workshop, open_client, bundle):
    owner, mechanic = open_client(workshop.enrol("owner")), open_client(workshop.enrol("mechanic"))
    assert owner.get(f"/api/bundles/{'0' * 64}/weight").json["code"] == "not-found"
    assert mechanic.get(f"/api/bundles/{bundle.sha256}/weight").json["code"] == "not-found"
