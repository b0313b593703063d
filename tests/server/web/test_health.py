"""`GET /api/health`: anyone may ask it, and it says nothing of the workshop."""

import sqlite3


def test_a_server_that_works_says_so_to_anyone(workshop, open_client):
    answer = open_client().get("/api/health")
    assert answer.status_code == 200
    assert set(answer.json) == {"is_well", "takes_photos", "version"}
    assert answer.json["is_well"]
    assert answer.headers["Cache-Control"] == "no-store"
    assert workshop.store.name not in answer.text


def test_a_disk_at_its_floor_takes_no_photos_and_the_server_is_well(open_client, monkeypatch):
    monkeypatch.setattr("twoturns.store.files.free_bytes", lambda _: 0)
    answer = open_client().get("/api/health")
    assert (answer.status_code, answer.json["takes_photos"]) == (200, False)


def test_a_ledger_that_cannot_be_read_is_not_well(open_client, monkeypatch):
    def unreadable(_):
        raise sqlite3.DatabaseError

    monkeypatch.setattr("twoturns.store.ledger.Ledger.size", unreadable)
    answer = open_client().get("/api/health")
    assert (answer.status_code, answer.json["is_well"]) == (503, False)
