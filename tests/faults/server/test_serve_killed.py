"""
`twoturns serve` is killed (SIGKILL), all its processes at once, while phones send; and begun anew.

`test_points.py` kills a server of one thread at each point at which it writes. Here it is the one
that is run, granian with its processes and threads, at a moment that chance names: what phones were
told by then is there, and what was cut off they send again.
"""

import hashlib
import http.client
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from by_http import Browser
from photos import photo
from served import PATIENCE_S, serving
from twoturns.ledger import checkpoint
from twoturns.ledger.entry import Entry
from twoturns.store.scrub import scrub
from workshop import Workshop, opening, private_value, uuid7

pytestmark = [pytest.mark.slow(15), pytest.mark.both_ledgers]
PHONES, KILLS = 4, 3
#: So many answers are heard before a kill: each phone has begun with entries and a photo.
ANSWERS = 5 * PHONES
PIECE = 20_000
_PICTURE = photo(80, 60)


class Sender:
    """A phone that sends for as long as it is answered, and what it was told."""

    def __init__(self, workshop: Workshop, heard: threading.Semaphore) -> None:
        self.browser, self._heard = Browser("localhost", workshop.enrol("mechanic")), heard
        self.entries: dict[str, tuple[int, str]] = {}  # id -> index, record
        self.photos: list[str] = []
        self.notes: list[str] = []
        self._begin()

    def _begin(self) -> None:
        """Have more to send."""
        self.values = tuple(private_value(name, uuid7()) for name in ("vin", "plate"))
        phone, job = self.browser.phone, uuid7()
        opened = phone.write("job.opened", opening(*self.values), job)
        self.said: tuple[Entry, ...] = (opened, phone.write("job.taken", {}, job))
        self.photo = _PICTURE + os.urandom(2 * PIECE)

    def send_always(self, port: int) -> None:
        """Send until nobody answers."""
        with suppress(OSError, http.client.HTTPException):
            self.sign_in(port)
            while True:
                self.send(port)

    def sign_in(self, port: int) -> None:
        assert self.browser.sign_in(port, self.browser.nonce(port)).status == 200

    def send(self, port: int) -> None:
        """Send what there is to send, or the rest of it, and have more."""
        receipt = self.browser.push(port, *self.said, blobs=self.values).json
        assert receipt["refused"] == []
        for one in self.said:
            told = (receipt["indices"][one.id], f"{receipt['stamps'][one.id]} {one.line}")
            assert self.entries.setdefault(one.id, told) == told
        self.notes.append(receipt["checkpoint"])
        self._heard.release()
        self.photos.append(self._send_photo(port))
        self._heard.release()
        self._begin()

    def _send_photo(self, port: int) -> str:
        sha256, length = hashlib.sha256(self.photo).hexdigest(), len(self.photo)
        begun = self.browser.begin_upload(port, sha256, length)
        offset = int(begun.headers["Upload-Offset"])
        while offset < length:
            piece = self.photo[offset : offset + PIECE]
            answer = self.browser.send_piece(port, sha256, offset, piece)
            assert answer.status == 204, answer.data
            offset = int(answer.headers["Upload-Offset"])
        receipt = self.browser.ask(port, "GET", f"/api/blobs/{sha256}/receipt")
        assert receipt.status == 200, receipt.data
        self.notes.append(receipt.json["checkpoint"])
        return sha256


@contextmanager
def mortal(folder: Path) -> Iterator[int]:
    """Serve a folder, and give the port; at the end kill all that serves, the first one first."""
    with serving(folder) as (port, server):
        yield port
        workers = Path(f"/proc/{server}/task/{server}/children").read_text().split()
        for process in (server, *map(int, workers)):
            os.kill(process, signal.SIGKILL)


def test_what_phones_were_told_before_serve_was_killed_stands(workshop):
    heard = threading.Semaphore(0)
    phones = [Sender(workshop, heard) for _ in range(PHONES)]
    for _ in range(KILLS):
        with ThreadPoolExecutor(PHONES) as pool:
            with mortal(workshop.folder) as port:
                sent = [pool.submit(phone.send_always, port) for phone in phones]
                for _ in range(ANSWERS):
                    assert heard.acquire(timeout=PATIENCE_S), "phones are not answered"
            for one in sent:
                one.result()
        check(workshop, phones)
    with serving(workshop.folder) as (port, _):
        for phone in phones:
            phone.sign_in(port)
            phone.send(port)
    check(workshop, phones)
    assert {what for _, what in scrub(workshop.store)} == {"whole"}


def check(workshop: Workshop, phones: list[Sender]) -> None:
    """All that phones were told is so, and nothing stands twice."""
    store = workshop.store
    rows = store.database.rows('select "index", id, record from records')
    stands = {row["id"]: (row["index"], row["record"]) for row in rows}
    assert len(stands) == len(rows)
    for phone in phones:
        for entry_id, (index, text) in phone.entries.items():
            assert stands[entry_id][0] == index
            assert stands[entry_id][1].endswith(text)
        for sha256 in phone.photos:
            assert store.views.kept_at(sha256) is not None
            assert store.blobs.is_whole(sha256)
        for note in phone.notes:
            told = checkpoint.open(note, store.ledger.key, store.ledger.workshop)
            assert store.ledger.root_at(told.size) == told.root
