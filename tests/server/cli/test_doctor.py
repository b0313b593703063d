"""
`twoturns doctor`: what it prints, and how it ends; and the address that phones use, asked of a
real TLS server on loopback with a certificate of our own making (`cryptography`, RFC 5280).
"""

import ipaddress
import json
import ssl
import threading
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest
from click.testing import CliRunner
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from twoturns.cli import address_check, main

NOW = datetime.now(UTC)


def run(workshop, *more):
    return CliRunner().invoke(main, ["doctor", "--data", str(workshop.folder), *map(str, more)])


def test_it_says_each_matter_and_what_to_do_and_ends_with_1_where_one_is_bad(workshop):
    (workshop.folder / "workshop.key").chmod(0o644)
    result = run(workshop)
    assert result.exit_code == 1
    assert "BAD   " in result.output
    assert "chmod 600" in result.output
    assert "good  1 record" in result.output


def test_for_programs_each_finding_is_a_line_of_json(workshop):
    found = [json.loads(line) for line in run(workshop, "--json").output.splitlines()]
    assert {"records", "key-mode", "disk", "clock", "backup"} <= {one["code"] for one in found}
    assert all({"code", "level", "says", "hint"} == set(one) for one in found)


def certificate(folder, *, ends):
    """A certificate for 127.0.0.1 that signs for itself, and its key; the path of both."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "workshop")])
    here = x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))])
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW - timedelta(days=60))
        .not_valid_after(ends)
        .add_extension(here, critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    path = folder / "tls.pem"
    path.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
        + made.public_bytes(serialization.Encoding.PEM)
    )
    return path


@pytest.fixture
def serve_tls(tmp_path, monkeypatch):
    """Serve answers by https until the test ends; the certificate is trusted unless told not."""
    servers = []

    def serve(answers, *, ends=NOW + timedelta(days=60), is_trusted=True, hsts=True):
        class Handler(BaseHTTPRequestHandler):
            def do_GET(self):
                status, said = answers[self.path]
                self.send_response(status)
                if hsts:
                    self.send_header("Strict-Transport-Security", "max-age=63072000")
                self.end_headers()
                self.wfile.write(json.dumps(said).encode())

            def log_message(self, *_):
                pass

        path = certificate(tmp_path, ends=ends)
        server = HTTPServer(("127.0.0.1", 0), Handler)
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(path)
        server.socket = context.wrap_socket(server.socket, server_side=True)
        if is_trusted:
            monkeypatch.setenv("SSL_CERT_FILE", str(path))
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        servers.append(server)
        return f"https://127.0.0.1:{server.server_port}"

    yield serve
    for server in servers:
        server.shutdown()
        server.server_close()


def levels(url, workshop="W"):
    return {
        one.code: one.level for one in address_check.check_address(url, workshop, datetime.now(UTC))
    }


def answers(workshop="W", health=200):
    return {"/api/workshop": (200, {"workshop": workshop}), "/api/health": (health, {})}


def test_an_address_that_phones_can_use(serve_tls):
    assert levels(serve_tls(answers())) == {"url": "good", "url-expiry": "good"}


def test_a_certificate_that_nobody_trusts_or_that_is_over(serve_tls):
    assert levels(serve_tls(answers(), is_trusted=False)) == {"url-certificate": "bad"}
    over = serve_tls(answers(), ends=NOW - timedelta(days=1))
    assert levels(over) == {"url-certificate": "bad"}


def test_a_certificate_that_ends_soon_and_a_proxy_that_does_not_say_https(serve_tls):
    found = levels(serve_tls(answers(), ends=NOW + timedelta(days=5), hsts=False))
    assert found == {"url": "good", "url-expiry": "look", "url-hsts": "look"}


def test_another_workshop_and_one_that_cannot_work(serve_tls):
    assert levels(serve_tls(answers("other")))["url-other"] == "bad"
    assert levels(serve_tls(answers(health=503)))["url-health"] == "bad"


def test_nobody_there_and_no_https():
    found = levels("http://127.0.0.1:1")
    assert found == {"url-unreached": "bad"}
    assert levels("http://no-such-host.invalid")["url-insecure"] == "bad"
