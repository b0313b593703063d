"""What every answer carries, and what every request must (OWASP ASVS 5.0.0, chapters 3 and 4)."""

import gzip

import pytest

from twoturns.web import client as static
from workshop import clients, uuid7

SHA = "ab" * 32


def paths(app) -> list[tuple[str, str]]:
    """Return every method and path of the app, with names filled in."""
    named = {"<sha256:sha256>": SHA, "<job:job>": uuid7(), "<path:name>": "x.js", "<name>": "x.js"}
    named |= {"<draft:draft>": "tiny", "<picture:picture>": "a.jpg"}
    found = []
    for rule in app.url_map.iter_rules():
        path = rule.rule
        for name, value in named.items():
            path = path.replace(name, value)
        found += [(method, path) for method in rule.methods]
    return found


@pytest.mark.parametrize("role", [None, "owner"])
def test_every_answer_carries_the_headers(workshop, open_client, role):
    client = open_client(workshop.enrol(role) if role else None)
    tried = paths(client.app)
    assert len(tried) > 40
    for method, path in tried:
        answer = client.tus(method, path)
        where = f"{method} {path}"
        assert answer.status_code < 500 or (path in ("/", "/index.html")), where
        headers = answer.headers
        assert "default-src" in headers["Content-Security-Policy"], where
        assert "unsafe" not in headers["Content-Security-Policy"], where
        assert headers["X-Content-Type-Options"] == "nosniff", where
        assert headers["Referrer-Policy"] == "no-referrer", where
        assert "camera=(self)" in headers["Permissions-Policy"], where
        assert not [name for name, _ in headers if name.startswith("Access-Control")], where
        if path.startswith("/api/"):
            assert headers["Cache-Control"] == "no-store", where
            if answer.status_code >= 400 and method != "HEAD":
                assert {"code", "message", "hint"} <= answer.json.keys(), where


def test_a_method_that_is_not_there_names_those_that_are(open_client):
    answer = open_client().tus("TRACE", "/api/enrol")
    assert answer.status_code == 405
    assert "POST" in answer.headers["Allow"]


def test_the_cookie_is_for_this_host_and_no_script(workshop, open_client):
    client = open_client(workshop.enrol("owner"))
    name, _, rest = client.set_cookie.partition("=")
    assert name == "__Host-two-turns"
    parts = {part.strip() for part in rest.split(";")[1:]}
    assert {"Secure", "HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=43200"} <= parts
    assert not any(part.startswith("Domain") for part in parts)


POSTS = ("/api/entries", "/api/session", "/api/session/nonce", "/api/enrol")


@pytest.mark.parametrize("path", POSTS)
def test_only_json_is_read(workshop, open_client, path):
    client = open_client(workshop.enrol("owner"))
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        answer = client.tus("POST", path, b"{}", Content_Type=kind)
        assert (answer.status_code, answer.json["code"]) == (415, "wrong-content-type")


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b'{"sent_at":NaN}', b"[" * 100_000, b'{"sent_at":"\xff"}', b"null", b"[]", b"7"],
)
def test_what_is_not_our_json_is_refused_without_a_fault(workshop, open_client, body):
    client = open_client(workshop.enrol("owner"))
    answer = client.tus("POST", "/api/entries", body, Content_Type="application/json")
    assert answer.status_code in (400, 422)
    assert answer.json["hint"]


def test_an_unknown_field_is_named(workshop, open_client):
    client = open_client(workshop.enrol("owner"))
    said = {"sent_at": "2026-11-24T12:00:00.000Z", "lines": [], "role": "owner"}
    answer = client.post("/api/entries", said)
    assert (answer.status_code, answer.json["where"]) == (422, "json.role")
    assert answer.json["message"].startswith("role: ")  # who reads it sees no more than the message


def test_a_body_over_the_limit_is_refused(workshop, open_client):
    client = open_client(workshop.enrol("owner"))
    said = {"sent_at": "2026-11-24T12:00:00.000Z", "lines": ["x" * (9 * 2**20)]}
    answer = client.post("/api/entries", said)
    assert (answer.status_code, answer.json["code"]) == (413, "too-large")


@pytest.mark.parametrize("secure", [{"X-Forwarded-Proto": "https"}, {}])
def test_who_came_by_https_is_told_to_come_so_always(workshop, open_client, secure):
    """RFC 6797, section 7.2: never said on an answer that goes over plain http."""
    for path in ("/", "/api/workshop"):
        answer = open_client().get(path, **secure)
        said = answer.headers.get("Strict-Transport-Security")
        assert said == ("max-age=31536000" if secure else None)


def test_another_site_may_not_write(workshop, open_client):
    phone = workshop.enrol("owner")
    client = open_client(phone)
    said = {
        "sent_at": "2026-11-24T12:00:00.000Z",
        "lines": [phone.write("job.taken", {}, uuid7()).line],
    }
    for site in ("cross-site", "same-site"):
        answer = client.post("/api/entries", said, **{"Sec-Fetch-Site": site})
        assert (answer.status_code, answer.json["code"]) == (403, "cross-site")
    assert client.post("/api/entries", said, **{"Sec-Fetch-Site": "same-origin"}).status_code == 200


def test_only_the_names_of_this_server_are_answered(workshop):
    client = clients(workshop, host_names=["workshop.example", "localhost"])()
    assert client.get("/api/workshop", Host="workshop.example:8437").status_code == 200
    for host in ("evil.example", "10.0.0.7", "workshop.example.evil.example"):
        answer = client.get("/api/workshop", Host=host)
        assert (answer.status_code, answer.json["code"]) == (400, "untrusted-host")


def test_an_ipv6_address_of_this_server_is_answered_and_no_other(workshop):
    """`serve --host ::1` answered nobody."""
    client = clients(workshop, host_names=["[::1]"])()
    for host in ("[::1]:8437", "[::1]"):
        assert client.get("/api/workshop", Host=host).status_code == 200
    for host in ("[::2]:8437", "[::1", "[::1]:8437.evil.example", "[", "::1"):
        assert client.get("/api/workshop", Host=host).json["code"] == "untrusted-host"


def test_forwarded_headers_are_not_believed(workshop):
    client = clients(workshop, host_names=["localhost"])()
    spoofed = {"X-Forwarded-Host": "localhost", "Host": "evil.example"}
    assert client.get("/api/workshop", **spoofed).status_code == 400


def test_a_fault_tells_nothing_of_the_inside(workshop, open_client, monkeypatch):
    client = open_client(workshop.enrol("owner"))
    monkeypatch.setattr(type(workshop.store.ledger), "checkpoint", lambda _: 1 / 0)
    answer = client.get("/api/checkpoint")
    assert (answer.status_code, answer.json["code"]) == (500, "fault")
    assert "Division" not in answer.text
    assert "division" not in answer.text


STEP = b"export const step = 1\n" * 9


@pytest.fixture
def built(tmp_path, monkeypatch):
    """Return a client of an app whose pages are built."""
    folder = tmp_path / "static"
    (folder / "assets").mkdir(parents=True)
    (folder / "index.html").write_text("<!doctype html><title>Two Turns</title>")
    (folder / "sw.js").write_text("1")
    (folder / "app.webmanifest").write_text("{}")
    (folder / "assets" / "index-abc.js").write_text("1")
    (folder / "assets" / "type-abc.woff2").write_text("1")
    (folder / "assets" / "step-abc.js").write_bytes(STEP)
    (folder / "assets" / "step-abc.js.br").write_bytes(b"by brotli")
    (folder / "assets" / "step-abc.js.gz").write_bytes(gzip.compress(STEP))
    monkeypatch.setattr(static, "STATIC", folder)


def test_hashed_files_are_for_ever_and_the_rest_is_asked_for(workshop, built):
    client = clients(workshop)()
    for path, kind in {
        "/": "text/html; charset=utf-8",
        "/index.html": "text/html; charset=utf-8",
        "/sw.js": "text/javascript; charset=utf-8",
        "/app.webmanifest": "application/manifest+json",
    }.items():
        answer = client.get(path)
        assert answer.headers["Content-Type"] == kind
        assert answer.headers["Cache-Control"] == "no-cache"
    for path, kind in {
        "/assets/index-abc.js": "text/javascript; charset=utf-8",
        "/assets/type-abc.woff2": "font/woff2",
    }.items():
        answer = client.get(path)
        assert answer.headers["Content-Type"] == kind
        assert "immutable" in answer.headers["Cache-Control"]
        assert "no-cache" not in answer.headers["Cache-Control"]
    assert client.get("/assets/gone.js").status_code == 404
    assert client.get("/assets/../../app.py").status_code == 404


@pytest.mark.parametrize(
    ("accepted", "sent"),
    [
        # The examples of RFC 9110, section 12.5.3, in its order; brotli is RFC 7932's.
        ("compress, gzip", "gzip"),
        ("", None),
        ("*", "br"),
        ("compress;q=0.5, gzip;q=1.0", "gzip"),
        ("gzip;q=1.0, identity; q=0.5, *;q=0", "gzip"),
        # What browsers send, over plain http and over https.
        ("gzip, deflate", "gzip"),
        ("gzip, deflate, br, zstd", "br"),
        ("br;q=0.1, gzip;q=0.2", "gzip"),
        ("br;q=0, gzip;q=0", None),
    ],
)
def test_a_file_goes_out_packed_as_its_asker_likes_it(workshop, built, accepted, sent):
    client = clients(workshop)()
    answer = client.get("/assets/step-abc.js", **{"Accept-Encoding": accepted})
    assert answer.headers.get("Content-Encoding") == sent
    assert answer.headers["Content-Type"] == "text/javascript; charset=utf-8"
    assert "immutable" in answer.headers["Cache-Control"]
    assert answer.headers["Vary"] == "Accept-Encoding"
    plain = {"gzip": gzip.decompress, "br": lambda _: STEP, None: bytes}[sent](answer.data)
    assert plain == STEP


def test_each_coding_of_a_file_has_an_etag_of_its_own(workshop, built):
    """RFC 9110, section 8.8.3.3: else a cache takes one for the other."""
    client = clients(workshop)()
    tags = {}
    for coding in ("br", "gzip", "identity"):
        asked = {"Accept-Encoding": coding}
        tags[coding] = client.get("/assets/step-abc.js", **asked).headers["ETag"]
        again = client.get("/assets/step-abc.js", **(asked | {"If-None-Match": tags[coding]}))
        assert (again.status_code, again.data) == (304, b"")
        assert again.headers["Vary"] == "Accept-Encoding"
    assert len(set(tags.values())) == 3
    other = {"Accept-Encoding": "gzip", "If-None-Match": tags["br"]}
    assert client.get("/assets/step-abc.js", **other).status_code == 200


def test_what_has_no_packed_copy_goes_out_as_it_is(workshop, built):
    answer = clients(workshop)().get("/sw.js", **{"Accept-Encoding": "br, gzip"})
    assert (answer.data, answer.headers.get("Content-Encoding")) == (b"1", None)
    assert answer.headers["Vary"] == "Accept-Encoding"


def test_a_page_that_is_not_built_says_how_to_build_it(workshop, tmp_path, monkeypatch):
    monkeypatch.setattr(static, "STATIC", tmp_path / "nothing")
    answer = clients(workshop)().get("/")
    assert answer.status_code == 503
    assert "npm run build" in answer.text
