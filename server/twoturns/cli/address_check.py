"""Whether phones can use the address they are given: https, its certificate, who answers there."""

import http.client
import json
import ssl
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Any, Final
from urllib.parse import urlsplit

from twoturns.store.doctor import Finding, Level
from twoturns.words import t
from twoturns.words.en.cli import address_check as words

# Chosen: certificates that renew themselves do it a month before their end (common practice).
SOON: Final = timedelta(days=14)
CLOCK_OFF: Final = timedelta(minutes=2)
TIMEOUT_S: Final = 10


@dataclass(frozen=True)
class _Answer:
    status: int
    headers: http.client.HTTPMessage
    body: bytes

    def said(self) -> dict[str, Any]:
        """Return what it says in JSON; nothing where it says none."""
        try:
            said = json.loads(self.body)
        except ValueError:
            return {}
        return said if isinstance(said, dict) else {}


def check_address(url: str, workshop: str, now: datetime) -> Iterator[Finding]:
    """
    Ask at the address that phones use, and say what they would find there.

    Args:
        url: As phones have it, `https://workshop.example`.
        workshop: The id of the workshop that should answer.
        now: This computer's time.
    """
    parts = urlsplit(url)
    is_here = parts.hostname in ("localhost", "127.0.0.1", "::1")
    if parts.scheme != "https" and not is_here:
        yield Finding("url-insecure", "bad", t(words.INSECURE, url=url))
    try:
        answer, ends = _ask(url, "/api/workshop")
    except ssl.SSLCertVerificationError as error:
        said = t(words.CERTIFICATE, url=url, why=error.verify_message)
        yield Finding("url-certificate", "bad", said)
        return
    except (OSError, http.client.HTTPException) as error:
        yield Finding("url-unreached", "bad", t(words.UNREACHED, url=url, why=str(error)))
        return
    yield from _of_certificate(ends, now)
    if answer.said().get("workshop") != workshop:
        yield Finding("url-other", "bad", t(words.OTHER, url=url))
        return
    yield Finding("url", "good", t(words.ANSWERS, url=url))
    yield from _of_headers(answer.headers, parts.scheme, now)
    health, _ = _ask(url, "/api/health")
    if health.status != http.HTTPStatus.OK:
        yield Finding("url-health", "bad", t(words.UNWELL, status=health.status))


def _ask(url: str, path: str) -> tuple[_Answer, datetime | None]:
    """Ask once; return the answer, and when the certificate ends where there is one."""
    parts = urlsplit(url)
    is_tls = parts.scheme == "https"
    kind = http.client.HTTPSConnection if is_tls else http.client.HTTPConnection
    line = kind(parts.hostname or "", parts.port, timeout=TIMEOUT_S)
    try:
        line.request("GET", parts.path.rstrip("/") + path)
        ends = _end_of(line.sock) if isinstance(line.sock, ssl.SSLSocket) else None
        answer = line.getresponse()
        return _Answer(answer.status, answer.headers, answer.read(1 << 20)), ends
    finally:
        line.close()


def _end_of(sock: ssl.SSLSocket) -> datetime | None:
    said = (sock.getpeercert() or {}).get("notAfter")
    return (
        datetime.fromtimestamp(ssl.cert_time_to_seconds(said), UTC)
        if isinstance(said, str)
        else None
    )


def _of_certificate(ends: datetime | None, now: datetime) -> Iterator[Finding]:
    if ends is None:
        return
    days = max(0, (ends - now).days)
    level: Level = "look" if ends - now < SOON else "good"
    yield Finding("url-expiry", level, t(words.CERTIFICATE_ENDS, days=days))


def _of_headers(headers: http.client.HTTPMessage, scheme: str, now: datetime) -> Iterator[Finding]:
    if scheme == "https" and "Strict-Transport-Security" not in headers:
        yield Finding("url-hsts", "look", t(words.NO_HSTS))
    date = headers.get("Date")
    if date is not None and abs(parsedate_to_datetime(date) - now) > CLOCK_OFF:
        yield Finding("url-clock", "look", t(words.CLOCKS_DIFFER, date=date))
