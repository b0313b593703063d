"""
A workshop's server that dies where it is told to, and is begun anew in a moment.

    python -m faults.server.mortal FOLDER      tells {"port": ...}; then for each line
    TIME [NUMBER POINT]                        a process serves, whose clock stands at TIME, and
                                               {"open": PID, "points": ...} is told once it does,
                                               {"ended": STATUS} once it does no more

This process has everything imported and opens nothing; each that serves is a fork of it. It serves
HTTP on one thread, and asks its engines as `twoturns serve` does. Every call by which it writes is
a point: of the folder and of SQLite as `disk.py` has them, of PostgreSQL each statement that writes
and each commit, of the object store each request, at a door that all of them go through.

Points are counted while requests bear `Act: NUMBER POINT`, from 1 with each new number, each kind
by itself; at POINT, such as `before ledger commit sessions 1`, the process kills itself. The
answer says in `Points` what was met since that number began. With a number in its line, its start
is counted.
"""

import ctypes
import http.client
import json
import mmap
import os
import re
import signal
import socket
import sys
import threading
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

from werkzeug.serving import WSGIRequestHandler, make_server

from faults.server.disk import Hook, hooked
from twoturns.store import blobs, bucket, newest_checkpoint, postgres, postgres_links
from twoturns.store.photos_at import said_in
from twoturns.web import app as web

BOARD_BYTES = 1 << 16
PARENT_IS_GONE = 1  # PR_SET_PDEATHSIG, prctl(2)
#: The least part of an upload in several that S3 takes, so that a photo of a test has two.
PART_BYTES = 5 << 20
_WRITES = re.compile(r"(?:create table if not exists|insert into|delete from|update) (\w+)")


class Killed(BaseException):
    """Who serves is no more; only the door goes on."""


class Mortal(Hook):
    """Counts points by their names; at one it kills who serves, which is this process."""

    def __init__(self) -> None:
        self.number, self.dies_at, self.pid = "", "", os.getpid()
        self.is_counting = self.is_writing = False
        self.met: list[str] = []
        self._wrote = ""
        self._times: Counter[str] = Counter()

    def heed(self, act: str) -> None:
        """Count from now on, anew if it is another act; or no more."""
        number, _, self.dies_at = act.partition(" ")
        if number not in ("", self.number):
            self.number, self.met, self._times = number, [], Counter()
        self.is_counting = bool(act)

    def call(self, name: str, go: Callable[[], Any], half: Callable[[], Any] | None) -> Any:
        self._at(f"before {name}")
        if half is not None:
            self._at(f"in {name}", half)
        done = go()
        self._at(f"after {name}")
        return done

    def sql(self, statement: str, go: Callable[[], Any]) -> Any:
        """Hear of a statement of SQLite's: a COMMIT of what was only read is none."""
        if statement.startswith("BEGIN"):
            self.is_writing, self._wrote = statement == "BEGIN IMMEDIATE", ""
        if statement == "COMMIT" and self.is_writing:
            return self.commit(go, None)
        if statement == "PRAGMA wal_checkpoint(TRUNCATE)":
            return self.call("ledger forget", go, None)
        return self.statement(statement, go)

    def statement(self, statement: str, go: Callable[[], Any]) -> Any:
        said = " ".join(statement.split())
        if said.startswith("begin"):
            self._wrote = ""
        found = _WRITES.match(said)
        if found is None:
            return go()
        self._wrote = self._wrote or found[1]
        return self.call(f"ledger {found[0]}", go, None)

    def commit(self, go: Callable[[], Any], half: Callable[[], Any] | None) -> Any:
        """Hear of a commit, which is called by what was written first since the one before."""
        wrote, self._wrote = self._wrote, ""
        return self.call(f"ledger commit {wrote}".strip(), go, half)

    def _at(self, name: str, half: Callable[[], Any] | None = None) -> None:
        if not self.is_counting:
            return
        self._times[name] += 1
        point = f"{name} {self._times[name]}"
        self.met.append(point)
        if point == self.dies_at:
            if half is not None:
                half()
            os.kill(self.pid, signal.SIGKILL)
            raise Killed


# PostgreSQL


def watch_postgres(hook: Mortal) -> None:
    """Let a hook hear of each statement that writes, and of each commit of what was written."""
    execute, wait, send = postgres_links.Link.execute, postgres_links._await, postgres._send

    def executed(link, query, *rest, **options):
        def go():
            return execute(link, query, *rest, **options)

        text = query.decode() if isinstance(query, bytes) else query
        text = text if isinstance(text, str) else text.as_string(link)
        if text.startswith("vacuum"):
            return hook.call("ledger forget", go, None)
        return hook.statement(text, go)

    def waited(connection, said, deadline):
        def sent():
            """It is on its way, and nobody hears what comes of it."""
            connection.send_query(said)
            connection.flush()

        return hook.commit(lambda: wait(connection, said, deadline), sent)

    def sent_at_once(link, waiting):
        """Rows of one statement, which are one or many messages, are one point, as in SQLite."""
        for sql, rows in waiting.items():
            hook.statement(sql, partial(send_rows, link, sql, rows))

    def send_rows(link, sql, rows):
        was_counting, hook.is_counting = hook.is_counting, False
        send(link, {sql: rows})
        hook.is_counting = was_counting

    postgres._send = sent_at_once
    postgres_links.Link.execute = executed
    postgres_links._await = waited


# The object store


class Board:
    """What who serves and the door write for each other, in memory that both have."""

    def __init__(self) -> None:
        self._memory = mmap.mmap(-1, 2 * BOARD_BYTES)
        self.acts, self.points = self._part(0), self._part(1)
        self.write(self.acts, {"act": "", "pid": 0})
        self.write(self.points, {"number": "", "met": []})

    def _part(self, number: int) -> memoryview:
        return memoryview(self._memory)[number * BOARD_BYTES : (number + 1) * BOARD_BYTES]

    def write(self, part: memoryview, said: dict[str, Any]) -> None:
        data = json.dumps(said).encode() + b"\0"
        part[: len(data)] = data

    def read(self, part: memoryview) -> dict[str, Any]:
        return json.loads(bytes(part).partition(b"\0")[0])


class AtTheDoor(Mortal):
    """Counts requests to the object store, as who serves has written down."""

    def __init__(self, board: Board) -> None:
        super().__init__()
        self.board = board

    def call(self, name: str, go: Callable[[], Any], half: Callable[[], Any] | None) -> Any:
        said = self.board.read(self.board.acts)
        self.pid = said["pid"]
        self.heed(said["act"])
        try:
            return super().call(name, go, half)
        finally:
            self.board.write(self.board.points, {"number": self.number, "met": self.met})


class Door:
    """
    What all requests to the object store go through, one connection a thread.

    A process of its own: while the store's client reads a list, no other thread of its process runs
    (OpenDAL 0.47 keeps Python's lock then).
    """

    def __init__(
        self, listening: socket.socket, store: tuple[str, int], root: str, hook: Hook
    ) -> None:
        self.listening, self.store, self.root, self.hook = listening, store, root, hook

    def run(self) -> None:
        while True:
            line, _ = self.listening.accept()
            threading.Thread(target=self._pass_on, args=[line], daemon=True).start()

    def _pass_on(self, line: socket.socket) -> None:
        gone = suppress(ConnectionError, Killed)
        with gone, line, socket.create_connection(self.store) as beyond:
            for one in (line, beyond):
                one.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            asking = line.makefile("rb")
            while first := asking.readline():
                head = [first, *iter(asking.readline, b"\r\n")]
                whole = b"".join(head) + b"\r\n" + asking.read(_length(head))
                line.sendall(self._answer(beyond, first.decode(), whole))

    def _answer(self, beyond: socket.socket, first: str, whole: bytes) -> bytes:
        method, address, _ = first.split()
        name = name_of(method, address, self.root)

        def go() -> bytes:
            beyond.sendall(whole)
            return _answer_of(beyond, method)

        if name is None:
            return go()
        return self.hook.call(name, go, lambda: beyond.sendall(whole[: len(whole) // 2]))


def name_of(method: str, address: str, root: str) -> str | None:
    """Name a request that writes, or that lists what is about to be removed; else None."""
    path, asked = urlsplit(address).path, parse_qs(urlsplit(address).query, keep_blank_values=True)
    if method == "GET" and "versions" in asked:
        return f"store list {asked['prefix'][0].removeprefix(root).partition('/')[0]}"
    if method in ("GET", "HEAD"):
        return None
    what = {"uploads": "begin parts", "partNumber": "put part", "uploadId": "complete"}
    how = next((said for key, said in what.items() if key in asked), method.lower())
    return f"store {how} {path.partition(root)[2].partition('/')[0]}"


def _length(head: list[bytes]) -> int:
    named = (line.lower().partition(b":") for line in head)
    return next((int(value) for name, _, value in named if name == b"content-length"), 0)


_OF_BODY = ("connection", "content-length", "transfer-encoding")


def _answer_of(beyond: socket.socket, method: str) -> bytes:
    answer = http.client.HTTPResponse(beyond, method=method)
    answer.begin()
    body = answer.read()
    left_out = (
        "transfer-encoding",
        "connection",
        *(["content-length"] if method != "HEAD" else []),
    )
    told = [f"{name}: {said}" for name, said in answer.getheaders() if name.lower() not in left_out]
    if method != "HEAD":
        told.append(f"Content-Length: {len(body)}")
    head = [f"HTTP/1.1 {answer.status} {answer.reason}", *told, "", ""]
    return "\r\n".join(head).encode() + body


def begin_door(folder: Path, listening: socket.socket, board: Board) -> None:
    """Begin the process that all requests to the object store go through."""
    place = urlsplit(said_in(folder))
    if place.scheme == "dir":
        return
    assert place.hostname is not None
    assert place.port is not None
    root = place.path.strip("/").partition("/")[2]
    if os.fork() == 0:
        end_with_parent()
        store = (place.hostname, place.port)
        Door(listening, store, f"{root}/", AtTheDoor(board)).run()


def go_by_door(listening: socket.socket) -> None:
    """Have this process's requests go there."""
    connected, port = bucket._connected, listening.getsockname()[1]
    bucket._connected = lambda at: connected(replace(at, endpoint=f"http://127.0.0.1:{port}"))


# Serving


class Silent(WSGIRequestHandler):
    def log(self, *_: object) -> None:
        """Who asks hears the answer."""


def app_without_workshop(
    folder: Path, clock: Callable[[], datetime]
) -> tuple[Any, Callable[[], Any]]:
    """Return the app, whose routes take half a second to set up, and what opens its workshop."""
    opening, asked = web._workshops, []
    web._workshops = lambda *told: asked.append(told)
    app = web.create_app(folder, clock=clock, ticks=lambda: clock().timestamp())
    return app, lambda: opening(*asked[0])


@dataclass(frozen=True)
class Mortals:
    """What all processes that serve have of the one that begins them."""

    folder: Path
    app: Any
    opened: Callable[[], Any]
    at_web: socket.socket
    at_store: socket.socket
    board: Board

    def serve(self, act: str) -> None:
        """Open the workshop and serve it, until killed."""
        hook = Mortal()
        watch_postgres(hook)
        go_by_door(self.at_store)
        # Small blobs are written one after the other: at once, the n-th would be now this, now
        # that. And the newest checkpoint is flushed now and then else, by the clock.
        blobs.WRITERS, bucket.CHUNK_BYTES, newest_checkpoint.SYNC_SECONDS = 1, PART_BYTES, -1.0
        with hooked(hook, self.folder):
            with self.counting(hook, act):
                self.app.extensions["twoturns"] = self.opened()
            tell({"open": os.getpid(), "points": self.points(hook)})
            host, port = self.at_web.getsockname()
            told = {"request_handler": Silent, "fd": self.at_web.fileno()}
            make_server(host, port, self.counted(hook), **told).serve_forever()

    @contextmanager
    def counting(self, hook: Mortal, act: str) -> Iterator[None]:
        """Count what is met here and at the door."""
        self._heed(hook, act)
        try:
            yield
        finally:
            self._heed(hook, "")

    def _heed(self, hook: Mortal, act: str) -> None:
        hook.heed(act)
        self.board.write(self.board.acts, {"act": act, "pid": os.getpid()})

    def points(self, hook: Mortal) -> list[str]:
        told = self.board.read(self.board.points)
        return [*hook.met, *(told["met"] if told["number"] == hook.number else [])]

    def counted(self, hook: Mortal) -> Callable[..., Any]:
        """Return the app, which counts points where a request says so."""

        def answer(environ, begin):
            def told(status, headers, *rest):
                return begin(status, [*headers, ("Points", json.dumps(self.points(hook)))], *rest)

            with self.counting(hook, environ.get("HTTP_ACT", "")):
                return self.app(environ, told)

        return answer


def tell(what: dict[str, Any]) -> None:
    os.write(1, json.dumps(what).encode() + b"\n")


def end_with_parent() -> None:
    ctypes.CDLL(None).prctl(PARENT_IS_GONE, signal.SIGKILL)


def main() -> None:
    folder, times, board = Path(sys.argv[1]), [datetime.now(UTC)], Board()
    at_web, at_store = (socket.create_server(("127.0.0.1", 0), backlog=64) for _ in range(2))
    begin_door(folder, at_store, board)
    app, opened = app_without_workshop(folder, lambda: times[0])
    mortals = Mortals(folder, app, opened, at_web, at_store, board)
    tell({"port": at_web.getsockname()[1]})
    for line in sys.stdin:
        at, _, act = line.strip().partition(" ")
        times[0] = datetime.fromisoformat(at)
        child = os.fork()
        if child == 0:
            end_with_parent()
            try:
                mortals.serve(act)
            except BaseException:  # noqa: BLE001 - whatever it was: no child goes on as its parent
                traceback.print_exc()
            finally:
                os._exit(1)
        _, status = os.waitpid(child, 0)
        tell({"ended": os.waitstatus_to_exitcode(status)})


if __name__ == "__main__":
    main()
