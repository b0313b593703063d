"""
A workshop of years: a ledger as phones and owner would have written it, put on the disk directly.

Each record is signed, linked, numbered and in the tree; what is spared is asking the workshop to
take each in. Its views are those that `rebuild` makes of it.
"""

import hashlib
import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

from nacl.signing import SigningKey as Signs

from twoturns.ledger import base64url, canonical
from twoturns.ledger.tree import Tree, leaf_hash
from twoturns.store import as_text
from twoturns.store.book import Nodes, size_of
from twoturns.store.bundles import publish
from workshop import NOON, Phone, Workshop, opening, private_value, tiny_bundle, uuid7

JOBS_A_DAY = 20
LEFT_OPEN = 100  # the newest jobs
WITH_PLATE = 200  # the newest jobs, whose private values are on the disk
LOT_OF = 25  # jobs
AT_ONCE = 10_000


@dataclass(frozen=True)
class Grown:
    """A workshop, who works there, and its jobs, the oldest first."""

    workshop: Workshop
    people: dict[str, Phone]
    jobs: list[str]
    blob: str  # of the newest closed job


def grown(folder: Path, jobs: int, **where: str | None) -> Grown:
    """Make a workshop (`where`: as its) of so many jobs. Its views are to be made (`rebuild`)."""
    workshop = Workshop(folder, **where)
    years = timedelta(days=jobs / JOBS_A_DAY)
    workshop.now = NOON - years - timedelta(days=1)
    people = {who: workshop.enrol(who) for who in ("owner", "mechanic", "auditor")}
    publish(workshop.store, tiny_bundle(), workshop.now)
    tool = {"tool": "W7", "type": "torque_wrench", "label": "The small wrench"}
    days = {"tool": "W7", "on": "2000-01-01", "due": "2099-01-01"}
    workshop.push(people["owner"].write("tool.registered", tool))
    workshop.push(people["owner"].write("tool.calibrated", days))
    ids = [uuid7() for _ in range(jobs)]
    named: dict[str, str] = {}
    lines = _lines(workshop, people, ids, named)
    _put(workshop, lines)
    workshop.now = NOON
    return Grown(workshop, people, ids, named["vin"])


def _lines(
    workshop: Workshop, people: dict[str, Phone], ids: list[str], named: dict[str, str]
) -> Iterator[tuple[str, bytes, str]]:
    """Yield when each entry was received, its JSON, and its line."""
    owner, mechanic = _Pen(people["owner"]), _Pen(people["mechanic"])
    bundle = tiny_bundle().sha256
    values = [
        (private_value("vin", f"TT{place:09}"), private_value("plate", f"W{place}"))
        for place in range(len(ids))
    ]
    blobs = workshop.store.blobs
    on_disk = [blobs.put(one) for pair in values[-WITH_PLATE:] for one in pair]
    workshop.store.ledger.keep(on_disk, workshop.now)
    for place, job in enumerate(ids):
        left = len(ids) - place
        at = as_text(NOON - timedelta(days=left / JOBS_A_DAY))
        opened = opening(*values[place], bundle=bundle)
        if left > LEFT_OPEN:
            named["vin"] = opened["vin"]["blob"]
        part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": f"L{place // LOT_OF}"}
        torque = {"step": "belt_on", "name": "t", "value": "26.5", "unit": "N·m", "tool": "W7"}
        yield at, *mechanic.write("job.opened", opened, job, at)
        yield at, *mechanic.write("part.fitted", part, job, at)
        yield at, *mechanic.write("reading.taken", torque, job, at)
        yield at, *mechanic.write("step.done", {"step": "lock_in", "proof": []}, job, at)
        if left > LEFT_OPEN:
            yield at, *mechanic.write("job.closed", {"end": "finished"}, job, at)
            owner.after[job] = mechanic.after.pop(job)
            yield at, *owner.write("review.approved", {}, job, at)
            del owner.after[job]


class _Pen:
    """Writes a device's entries, without reading each again as `Phone.write` does."""

    def __init__(self, phone: Phone) -> None:
        self._phone, self._key = phone, Signs(phone.key.seed)
        self.after: dict[str, list[str]] = {}

    def write(self, kind: str, body: dict[str, Any], job: str, at: str) -> tuple[bytes, str]:
        self._phone.seq += 1
        members = {
            "after": self.after.get(job, []),
            "at": at,
            "body": body,
            "device": self._phone.id,
            "job": job,
            "kind": kind,
            "person": self._phone.person,
            "seq": self._phone.seq,
            "v": 1,
            "workshop": self._phone.workshop,
        }
        data = canonical.dumps(members)
        self.after[job] = [hashlib.sha256(data).hexdigest()]
        return data, f"{base64url.encode(self._key.sign(data).signature)} {data.decode()}"


class _NewNodes(Nodes):
    """The tree's nodes, put into the database many at once."""

    def __init__(self, db: Any) -> None:
        super().__init__(db)
        self.new: dict[tuple[int, int], bytes] = {}

    def get(self, level: int, number: int) -> bytes:
        return self.new.get((level, number)) or super().get(level, number)

    def put(self, level: int, number: int, node: bytes) -> None:
        self.new[level, number] = node


def _put(workshop: Workshop, lines: Iterator[tuple[str, bytes, str]]) -> None:
    while some := list(itertools.islice(lines, AT_ONCE)):
        with workshop.store.database.write() as db:
            nodes = _NewNodes(db)
            tree, rows = Tree(nodes, size_of(db)), []
            for received, data, line in some:
                text = f"{received} +0 {line}"
                index = tree.append(leaf_hash(text.encode()))
                rows.append([index, hashlib.sha256(data).hexdigest(), text])
            db.executemany("insert into records values (?, ?, ?)", rows)
            made = [[*place, node] for place, node in nodes.new.items()]
            db.executemany("insert into nodes values (?, ?, ?)", made)
