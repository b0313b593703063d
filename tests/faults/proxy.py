"""
A bad line between a phone and its workshop: a small HTTP proxy that is told what goes wrong.

Each request is taken whole, then the plan says what becomes of it. Every exchange has a connection
of its own: so a cut one hurts no other. How fast and how steadily bytes move is the line's affair.
"""

from __future__ import annotations

import mimetypes
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from twoturns.web.headers import CONTENT_SECURITY_POLICY

PATIENCE_S = 60
RECEIVE_BYTES = 65_536
#: A throttled line moves this many pieces a second.
PIECES_A_SECOND = 20


@dataclass(frozen=True)
class Request:
    method: str
    path: str
    head: bytes
    body: bytes

    @property
    def whole(self) -> bytes:
        """
        The request as it goes on.

        The workshop closes the connection after its answer, and hears itself called by its own
        name, whatever the phone calls it.
        """
        first, *lines = self.head.split(b"\r\n")
        kept = [line for line in lines if not line.lower().startswith((b"connection:", b"host:"))]
        ours = [first, b"Host: localhost", b"Connection: close"]
        return b"\r\n".join([*ours, *kept]) + b"\r\n\r\n" + self.body

    @property
    def is_to_workshop(self) -> bool:
        return self.path.startswith("/api/")


class Cut(OSError):
    """The line went down in the middle."""


@dataclass
class Line:
    """How bytes move: as fast as they can, unless told otherwise."""

    bytes_a_second: float | None = None
    latency_s: float = 0
    #: Up so long, then down so long, over and over; None: always up.
    flaps_s: tuple[float, float] | None = None
    _since: float = field(default_factory=time.monotonic)

    def is_up(self) -> bool:
        if self.flaps_s is None:
            return True
        up, down = self.flaps_s
        return (time.monotonic() - self._since) % (up + down) < up

    def move(self, data: bytes) -> Iterator[bytes]:
        """Yield the bytes as they come through; raises Cut when the line goes down."""
        time.sleep(self.latency_s)
        step = len(data) or 1
        if self.bytes_a_second is not None:
            step = max(1, int(self.bytes_a_second / PIECES_A_SECOND))
        for at in range(0, len(data), step):
            if self.bytes_a_second is not None:
                time.sleep(len(data[at : at + step]) / self.bytes_a_second)
            if not self.is_up():
                raise Cut("the line is down")
            yield data[at : at + step]


class Exchange:
    """One request, and what can be done with it."""

    def __init__(self, request: Request, phone: socket.socket, workshop: int, line: Line) -> None:
        self.request = request
        self._phone = phone
        self._workshop = workshop
        self._line = line

    def ask(self, upto: int | None = None) -> bytes:
        """Send the request on, or its first bytes; return the workshop's whole answer."""
        with socket.create_connection(("127.0.0.1", self._workshop), PATIENCE_S) as workshop:
            for piece in self._line.move(self.request.whole[:upto]):
                workshop.sendall(piece)
            if upto is not None:
                return b""
            answer = b""
            while piece := workshop.recv(RECEIVE_BYTES):
                answer += piece
            return answer

    def answer(self, answer: bytes) -> None:
        for piece in self._line.move(answer):
            self._phone.sendall(piece)


Fault = Callable[[Exchange], None]
Plan = Callable[[Request], Fault]


def passes(exchange: Exchange) -> None:
    exchange.answer(exchange.ask())


def refused(exchange: Exchange) -> None:
    """Nobody answers: the connection is closed."""


def answer_dropped(exchange: Exchange) -> None:
    """The workshop has done it, and the phone never hears so."""
    exchange.ask()


def request_cut(at: int) -> Fault:
    """Only so many bytes of the request reach the workshop."""
    return lambda exchange: void(exchange.ask(upto=at))


def answer_cut(at: int) -> Fault:
    return lambda exchange: exchange.answer(exchange.ask()[:at])


def twice(exchange: Exchange) -> None:
    """A proxy that tries again: the workshop sees it twice, the phone hears the second answer."""
    exchange.ask()
    exchange.answer(exchange.ask())


def late_twin(after_s: float) -> Fault:
    """The same request comes once more, when newer ones have overtaken it."""

    def fault(exchange: Exchange) -> None:
        passes(exchange)
        time.sleep(after_s)
        exchange.ask()

    return fault


def delayed(by_s: float) -> Fault:
    def fault(exchange: Exchange) -> None:
        time.sleep(by_s)
        passes(exchange)

    return fault


def says(status: str, body: bytes, *headers: str, kind: str = "text/html") -> Fault:
    """Somebody in between answers for the workshop."""
    lines = [
        f"HTTP/1.1 {status}",
        f"Content-Type: {kind}",
        f"Content-Length: {len(body)}",
        "Connection: close",
        *headers,
    ]
    answer = "\r\n".join([*lines, "", ""]).encode() + body
    return lambda exchange: exchange.answer(answer)


PAGE = b"<!doctype html><title>Guest network</title><p>Accept the terms to go on.</p>"
portal_page = says("200 OK", PAGE)
portal_redirect = says("302 Found", b"", "Location: http://portal.invalid/welcome")
portal_login = says("511 Network Authentication Required", PAGE)
#: The right type, and yet nobody's word: a box that answers all questions alike.
portal_json = says("200 OK", b'{"ok":true}', kind="application/json")
PORTALS = (portal_page, portal_redirect, portal_login, portal_json)


def always(fault: Fault) -> Plan:
    return lambda request: fault


def on(fault: Fault, method: str, path: str) -> Plan:
    """The fault on requests to this path, or below it; the others pass."""

    def plan(request: Request) -> Fault:
        return fault if request.method == method and request.path.startswith(path) else passes

    return plan


class Proxy:
    """Listens on a port of its own, and stands before the workshop's."""

    def __init__(self, workshop: int) -> None:
        self.workshop = workshop
        self.plan: Plan = always(passes)
        self.line = Line()
        #: A build of the app to serve in place of the workshop's own.
        self.files: Path | None = None
        #: Method and path of every request, in the order of coming.
        self.heard: list[tuple[str, str]] = []
        self._busy: set[int] = set()
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._socket.getsockname()[1]
        self.address = f"http://localhost:{self.port}"
        threading.Thread(target=self._serve, daemon=True).start()

    @property
    def is_busy(self) -> bool:
        """Whether any request is under way."""
        return bool(self._busy)

    def close(self) -> None:
        self._socket.close()

    def _serve(self) -> None:
        # Ends when the socket is closed under it.
        with suppress(OSError):
            while True:
                phone, _ = self._socket.accept()
                threading.Thread(target=self._exchange, args=[phone], daemon=True).start()

    def _exchange(self, phone: socket.socket) -> None:
        # Either end may go at any time, and a cut line is what we are for.
        with phone, suppress(OSError):
            phone.settimeout(PATIENCE_S)
            request = read_request(phone)
            if request is None:
                return
            self.heard.append((request.method, request.path))
            fault = self.plan(request)
            if self.files and not request.is_to_workshop and fault is passes:
                fault = file_of(self.files, request.path)
            self._busy.add(phone.fileno())
            try:
                if self.line.is_up():
                    fault(Exchange(request, phone, self.workshop, self.line))
            finally:
                self._busy.discard(phone.fileno())


def read_request(phone: socket.socket) -> Request | None:
    """Read one request whole; None where the browser opened a connection and thought better."""
    got = b""
    while b"\r\n\r\n" not in got:
        piece = phone.recv(RECEIVE_BYTES)
        if not piece:
            return None
        got += piece
    head, _, body = got.partition(b"\r\n\r\n")
    length = 0
    for line in head.split(b"\r\n"):
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            length = int(value)
    while len(body) < length:
        piece = phone.recv(RECEIVE_BYTES)
        if not piece:
            return None
        body += piece
    method, path, _ = head.split(b"\r\n")[0].decode("ascii").split(" ")
    return Request(method, path, head, body)


def file_of(folder: Path, path: str) -> Fault:
    """A file of a build, as the workshop would serve it."""
    file = folder / ("index.html" if path == "/" else path.partition("?")[0].lstrip("/"))
    if not file.is_file():
        return says("404 Not Found", b"", kind="text/plain")
    kind = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
    policy = f"Content-Security-Policy: {CONTENT_SECURITY_POLICY}"
    return says("200 OK", file.read_bytes(), policy, "Cache-Control: no-cache", kind=kind)


def void(_: object) -> None:
    """For a lambda that must not return what it calls."""
