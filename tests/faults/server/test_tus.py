"""
tus 1.0.0 against the real server, by a client that others wrote (tus-js-client), and by a bare
socket that breaks off where it likes.
"""

import base64
import hashlib
import http.client
import json
import socket
import subprocess
import time
from contextlib import closing, suppress
from email.message import Message
from pathlib import Path
from typing import NamedTuple

import pytest

from peer import CLIENT, find_node
from served import served
from twoturns.ledger import keys
from twoturns.store import Store
from workshop import Workshop

PROGRAM = Path(__file__).with_name("tus_client.mjs")
PHOTO = bytes(range(256)) * 4096  # 1 MiB


class Answer(NamedTuple):
    status: int
    headers: Message
    body: bytes


class Door:
    """A served workshop, seen from outside."""

    def __init__(self, workshop: Workshop, port: int) -> None:
        self.port, self.store = port, Store(workshop.folder)
        self.phone = workshop.enrol("mechanic")
        device = {"device": self.phone.id}
        nonce = json.loads(self.ask("POST", "/api/session/nonce", json.dumps(device)).body)
        message = keys.session_message(workshop=self.phone.workshop, **device, **nonce)
        said = {**device, **nonce, "signature": self.phone.sign(message)}
        answer = self.ask("POST", "/api/session", json.dumps(said))
        self.cookie = answer.headers["Set-Cookie"].partition(";")[0]

    def ask(self, method: str, path: str, body: str | bytes = "", **headers: str) -> Answer:
        line = http.client.HTTPConnection("localhost", self.port, timeout=20)
        kind = {"Content-Type": "application/json", **headers} if body else headers
        with closing(line):
            line.request(method, path, body or None, kind)
            with line.getresponse() as answer:
                return Answer(answer.status, answer.headers, answer.read())

    def tus(self, method: str, sha256: str) -> Answer:
        said = {"Cookie": self.cookie, "Tus-Resumable": "1.0.0"}
        return self.ask(method, f"/api/uploads/{sha256}", **said)


@pytest.fixture(scope="module")
def door(tmp_path_factory):
    workshop = Workshop(tmp_path_factory.mktemp("tus") / "data")
    with served(workshop.folder) as port:
        yield Door(workshop, port)


@pytest.fixture
def run(door, tmp_path):
    """Let the other client upload bytes; returns what it says came of it."""

    def upload(data: bytes, **how) -> dict:
        file = tmp_path / "photo"
        file.write_bytes(data)
        command = {
            "client": str(CLIENT),
            "endpoint": f"http://localhost:{door.port}/api/uploads",
            "cookie": door.cookie,
            "file": str(file),
            "sha256": hashlib.sha256(data).hexdigest(),
            "piece": 200_000,
            **how,
        }
        words = [find_node(), str(PROGRAM), json.dumps(command)]
        done = subprocess.run(words, capture_output=True, text=True, timeout=60, check=False)
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    return upload


def photo(n: int) -> bytes:
    return bytes([n]) + PHOTO


def is_kept(door: Door, data: bytes) -> bool:
    sha256 = hashlib.sha256(data).hexdigest()
    return door.store.views.kept_size(sha256) == len(data) and door.store.blobs.is_whole(sha256)


def test_it_creates_sends_in_pieces_and_comes_to_the_end(door, run):
    came = run(photo(1))
    assert came["result"] == "done"
    assert came["asked"] == [["POST", 201], *[["PATCH", 204]] * 6]
    assert is_kept(door, photo(1))


def test_cut_off_and_begun_anew_it_goes_on_where_the_server_stands(door, run):
    came = run(photo(2), cut=500_000)
    assert (came["first"], came["result"]) == ("cut", "done")
    assert ["HEAD", 200] in came["asked"]  # it starts at 0, is told no, asks, and goes on
    assert is_kept(door, photo(2))


def test_a_photo_that_is_known_costs_no_byte_again(door, run):
    assert run(photo(3))["result"] == "done"
    came = run(photo(3))
    assert came["result"] == "done"
    # It begins at 0 all the same. The refusal comes before its bytes are read, so that the line
    # may be gone before the client hears of it; either way it asks, and sends nothing again.
    assert came["asked"][0] == ["POST", 201]
    assert came["asked"][-1] == ["HEAD", 200]
    assert ["PATCH", 204] not in came["asked"]


def test_a_wrong_checksum_is_460_and_keeps_nothing_of_the_piece(door, run):
    wrong = "sha1 " + base64.b64encode(bytes(20)).decode()
    came = run(photo(4), checksum=wrong)
    assert came["result"] == "failed 460"
    sha256 = hashlib.sha256(photo(4)).hexdigest()
    assert door.tus("HEAD", sha256).headers["Upload-Offset"] == "0"
    right = (
        "sha1 " + base64.b64encode(hashlib.sha1(photo(4), usedforsecurity=False).digest()).decode()
    )
    assert run(photo(4), piece=2_000_000, checksum=right)["result"] == "done"
    assert is_kept(door, photo(4))


@pytest.mark.parametrize("cut", [0, 1, 1000, 65_536, 700_001, 1_048_576])
def test_a_line_cut_at_any_byte_leaves_what_arrived_and_never_more(door, cut):
    data = photo(100 + cut % 91)
    sha256 = hashlib.sha256(data).hexdigest()
    metadata = f"sha256 {base64.b64encode(sha256.encode()).decode()}"
    said = {"Cookie": door.cookie, "Tus-Resumable": "1.0.0", "Upload-Metadata": metadata}
    door.ask("POST", "/api/uploads", **said, **{"Upload-Length": str(len(data))})
    head = (
        f"PATCH /api/uploads/{sha256} HTTP/1.1\r\nHost: localhost\r\nCookie: {door.cookie}\r\n"
        "Tus-Resumable: 1.0.0\r\nUpload-Offset: 0\r\nContent-Type: application/offset+octet-stream"
        f"\r\nContent-Length: {len(data)}\r\n\r\n"
    )
    with socket.create_connection(("localhost", door.port)) as line:
        line.sendall(head.encode() + data[:cut])
    for _ in range(200):  # until the server has heard that the line is gone
        offset = int(door.tus("HEAD", sha256).headers["Upload-Offset"])
        kind = {"Content-Type": "application/offset+octet-stream", "Upload-Offset": str(offset)}
        with suppress(ConnectionError):  # refused before its bytes were read: the line is gone
            answer = door.ask("PATCH", f"/api/uploads/{sha256}", data[offset:], **said, **kind)
            if answer.status not in (409, 423, 503):
                break
        time.sleep(0.05)
    assert offset <= cut
    assert answer.status == 204
    assert is_kept(door, data)
