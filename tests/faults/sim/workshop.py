"""
The real workshop, as the simulation has it: the app asked without a socket, its folder put back.

Times come from the simulation, chance from its seed: the same seed gives the same bytes.
"""

import base64
import io
import os
import random
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Flask

from faults.sim.mark import Mark
from twoturns.ledger import record
from twoturns.ledger.roster import invitation_text
from twoturns.procedure.compile.bundle import Bundle
from twoturns.store import Store
from twoturns.store.backup import back_up
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.bundles import publish
from twoturns.store.invite import invite
from twoturns.store.restore import restore
from twoturns.store.store import KEY_FILE
from twoturns.web import create_app
from twoturns.web.limits import Limits

NO_FLOOR, NO_ROOM = 0, 1 << 60
HOST = "workshop.test"


@contextmanager
def chance_given_back() -> Iterator[None]:
    """
    Afterwards chance is the system's again. Seeded, it is the same in a child that a test forks: a
    file that the killed one left then has the very name that its parent draws next.
    """
    real = os.urandom
    try:
        yield
    finally:
        os.urandom = random._urandom = real


def seed_chance(seed: int) -> None:
    """Let keys, salts and tokens of this process come from a seed: a run must replay exactly."""
    chance = random.Random(seed)
    os.urandom = chance.randbytes
    random._urandom = chance.randbytes


class Workshop:
    """One simulated workshop: its folder, its backups, and the app of all workshops."""

    def __init__(self, folder: Path, bundle: Bundle) -> None:
        self.folder, self.backup = folder / "world" / "data", folder / "world" / "backup"
        self._marks = {name: Mark(folder / "world", folder / name) for name in ("new", "past")}
        self.now = datetime.fromtimestamp(0, UTC)
        self.bundle, self.is_full = bundle, False
        self._app: Flask | None = None

    def call(self, said: dict[str, Any]) -> Any:
        self.now = datetime.fromtimestamp(said["now"] / 1000, UTC)
        return getattr(self, f"do_{said['op']}")(said)

    # What the simulated world does to the workshop.

    def do_create(self, said: dict[str, Any]) -> None:
        """A new world: nothing of the one before is left. All begin with the same new workshop."""
        if not self._marks["new"].is_taken:
            seed_chance(0)
            self.store = Store.create(self.folder, "Workshop at the Weir", self.now)
            publish(self.store, self.bundle, self.now)
            self.store.database.close()
            self._marks["new"].take()
        self._go_on_from("new", said)

    def do_mark(self, said: dict[str, Any]) -> None:
        """All that is on the disk is the past that seeds go on from."""
        self.store.database.close()
        self._marks["past"].take()

    def do_return(self, said: dict[str, Any]) -> None:
        """All is on the disk as it was at the mark; from here on chance is another."""
        self._go_on_from("past", said)

    def _go_on_from(self, mark: str, said: dict[str, Any]) -> None:
        self.store.database.close()
        seed_chance(said["seed"])
        self._marks[mark].back()
        self.is_full = False
        self.do_restart(said)

    def do_restart(self, said: dict[str, Any]) -> None:
        """What a kill leaves is on the disk; all else is gone."""
        self.store.database.close()
        self.store = Store(self.folder, floor_bytes=NO_ROOM if self.is_full else NO_FLOOR)
        self.store.tidy()
        if self._app is None:
            # Made once: all that an app knows of a folder is in its store.
            self._app = create_app(self.folder, clock=lambda: self.now)
        served = self._app.extensions["twoturns"].served
        served.store, served.limits = self.store, Limits(lambda: self.now.timestamp())

    def do_full(self, said: dict[str, Any]) -> None:
        self.is_full = said["full"]
        self.do_restart(said)

    def do_invite(self, said: dict[str, Any]) -> str:
        person = said["person"] or _new_person()
        if not said["person"]:
            self.store.name_person(person, said["name"], self.now)
        until = self.now + timedelta(hours=1)
        invited = invite(self.store, role=said["role"], person=person, until=until, now=self.now)
        return invitation_text(invited)

    def do_revoke(self, said: dict[str, Any]) -> None:
        body = {"device": said["device"], "because": "left on a roof"}
        self.store.ledger.state("device.revoked", body, self.now)

    def do_erase(self, said: dict[str, Any]) -> None:
        body = {"blob": said["blob"], "reason": "asked for", "basis": "GDPR 17(1)"}
        self.store.ledger.state("blob.erased", body, self.now)

    def do_back_up(self, said: dict[str, Any]) -> int:
        return back_up(self.store, self.backup, self.now).size

    def do_restore(self, said: dict[str, Any]) -> None:
        """The folder is lost; the last backup takes its place, as the README says."""
        self.store.database.close()
        key = (self.folder / KEY_FILE).read_bytes()
        shutil.rmtree(self.folder)
        restore(self.backup, self.folder)
        (self.folder / KEY_FILE).write_bytes(key)
        self.do_restart(said)

    # What the checker looks at: what is on the disk, past the app.

    def do_rows(self, said: dict[str, Any]) -> dict[str, Any]:
        rows = self.store.database.rows(_ROWS, [said["since"]])
        told = ("standing", "held")
        return {"rows": [_read(row["record"]) | {name: row[name] for name in told} for row in rows]}

    def do_missing(self, said: dict[str, Any]) -> list[str]:
        """Which of these blobs are not whole on the disk, or in the backup."""
        folder = self.folder if said["where"] == "workshop" else self.backup
        blobs = BlobFolder(folder / "blobs")
        return [blob for blob in said["blobs"] if not (blobs.has(blob) and blobs.is_whole(blob))]

    def do_lacks(self, said: dict[str, Any]) -> dict[str, Any]:
        """
        What blobs the ledger keeps and the disk lacks; what is erased.

        With `rebuild` by views made anew from the records, each compared with the tree.
        """
        if said["rebuild"]:
            self.store.rebuild()
        views, blobs = self.store.views, self.store.blobs
        missing = [blob for blob in views.kept() if not blobs.has(blob)]
        return {"missing": missing, "erased": list(views.erased())}

    # Requests.

    def do_ask(self, said: dict[str, Any]) -> dict[str, Any]:
        """Ask the app; `cut` bytes of the body arrive, the line breaks, and no one hears more."""
        body = base64.b64decode(said["bytes"]) if said["bytes"] else said["text"].encode()
        path, _, query = said["path"].partition("?")
        environ = {
            "REQUEST_METHOD": said["method"],
            "SCRIPT_NAME": "",
            "PATH_INFO": path,
            "QUERY_STRING": query,
            "SERVER_NAME": HOST,
            "SERVER_PORT": "443",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "HTTP_HOST": HOST,
            "wsgi.version": (1, 0),
            "wsgi.url_scheme": "https",
            "wsgi.input": _Line(body, said["cut"]),
            "wsgi.input_terminated": False,
            "wsgi.errors": io.StringIO(),
            "wsgi.multithread": False,
            "wsgi.multiprocess": False,
            "wsgi.run_once": False,
            "CONTENT_LENGTH": str(len(body)),
        }
        for name, value in said["headers"].items():
            key = name.upper().replace("-", "_")
            environ[key if key == "CONTENT_TYPE" else f"HTTP_{key}"] = value
        return self._answer(environ)

    def _answer(self, environ: dict[str, Any]) -> dict[str, Any]:
        told: dict[str, Any] = {}

        def start(status: str, headers: list[tuple[str, str]], _: object = None) -> None:
            told.update(status=int(status[:3]), headers=headers)

        assert self._app is not None
        pieces = self._app.wsgi_app(environ, start)
        data = b"".join(pieces)
        if hasattr(pieces, "close"):
            pieces.close()
        return {**told, "body": base64.b64encode(data).decode()}


@lru_cache(1000)
def _read(text: str) -> dict[str, str]:
    entry = record.parse(text).entry
    return {"id": entry.id, "line": entry.line}


def _new_person() -> str:
    hexed = os.urandom(16).hex()
    return f"{hexed[:8]}-{hexed[8:12]}-7{hexed[13:16]}-8{hexed[17:20]}-{hexed[20:]}"


class _Line(io.RawIOBase):
    """A body that breaks off after so many bytes."""

    def __init__(self, body: bytes, cut: int | None) -> None:
        self._left, self._cut = memoryview(body), cut

    def readable(self) -> bool:
        return True

    def readinto(self, into: memoryview) -> int:
        count = min(len(into), len(self._left))
        if self._cut is not None:
            if self._cut == 0:
                raise ConnectionResetError
            count = min(count, self._cut)
            self._cut -= count
        into[:count] = self._left[:count]
        self._left = self._left[count:]
        return count


_ROWS = """
select record, standing, shown is null as held from records join entries using ("index")
where "index" >= ? order by "index"
"""
