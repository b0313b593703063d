"""The list of procedures: one request, and no body, while nothing is new."""


def test_a_list_that_has_not_changed_costs_no_body(workshop, open_client):
    client = open_client(workshop.enrol("mechanic"))
    first = client.get("/api/bundles")
    again = client.get("/api/bundles", **{"If-None-Match": first.headers["ETag"]})
    assert (first.status_code, first.json) == (200, {"bundles": []})
    assert (again.status_code, again.data) == (304, b"")
