"""Over HTTP: how the workshop came to its key, and what is said when the key file is not its."""

from twoturns.ledger import checkpoint
from twoturns.store.keyring import KEY_FILE
from twoturns.store.succession import commit, recover, rotate
from workshop import NOON

PAPER, NEXT = b"p" * 16, b"n" * 16


def test_the_keys_are_told_to_anybody_with_their_proof(workshop, open_client):
    rotate(workshop.store, NOON)
    said = open_client().get("/api/keys").get_json()
    assert [record["index"] for record in said["records"]] == [0, workshop.store.ledger.size() - 1]
    ledger = workshop.store.ledger
    assert checkpoint.open(said["checkpoint"], ledger.key, ledger.workshop).size == ledger.size()


def test_a_server_whose_key_was_recovered_elsewhere_says_so_and_takes_nothing(
    workshop, open_client
):
    phone = workshop.enrol("owner")
    client = open_client(phone)
    commit(workshop.store, PAPER, before=None, now=NOON)
    old = (workshop.folder / KEY_FILE).read_bytes()
    recover(workshop.store, PAPER, then=NEXT, size=None, now=NOON)
    (workshop.folder / KEY_FILE).write_bytes(old)
    running = client.app.extensions["twoturns"].served.store
    running.keyring._held = None  # as in a process that has just begun
    size = running.ledger.size()
    said = phone.write("lot.recalled", {"lot": "L1", "because": "x"})
    batch = {"sent_at": "2026-11-24T12:00:00.000Z", "lines": [said.line]}
    for answer in (
        client.post("/api/entries", batch),
        client.get("/api/log"),
        client.get("/api/checkpoint"),
        client.get("/api/keys"),
        client.get("/api/workshop"),
    ):
        assert answer.status_code == 503
        problem = answer.get_json()
        assert problem["code"] == "wrong-key"
        assert "twoturns key recover" in problem["hint"]
    assert running.ledger.size() == size
