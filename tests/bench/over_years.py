"""
What is read, made anew and backed up of a workshop of years, as sections of `bench_server.py`.

Reads are held against the same question to a workshop of a hundredth of the jobs, by turns; rebuild
and backup against what nobody can do without: reading each record, copying the ledger's file; the
tree against a small one.
"""

import hashlib
import http.client
import json
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from grown import Grown, grown

from served import serving
from twoturns.ledger import record
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.tree import leaf_hash
from twoturns.store.backup import back_up
from twoturns.store.book import SCHEMA, KnownNodes
from twoturns.store.database import Database
from twoturns.store.port import run_script
from twoturns.store.summaries import fill
from twoturns.web.cookie import COOKIE
from workshop import Client, clients, uuid7

JOBS, JOBS_FULL = (1_000, 3_000), (1_000, 100_000)
ROUNDS = 15
NEW_RECORDS = 1_000
AT_ONCE = 8

Report = Callable[..., None]


@contextmanager
def workshops(sizes: tuple[int, ...]) -> Iterator[list[Grown]]:
    """Give workshops of so many jobs."""
    with tempfile.TemporaryDirectory() as folder:
        yield [grown(Path(folder) / str(jobs), jobs) for jobs in sizes]


# What is asked, by whom.


def questions(of: Grown) -> dict[str, tuple[str, Callable[[Any], object]]]:
    size, open_job = of.workshop.store.ledger.size(), of.jobs[-1]
    job, older = of.jobs[-200], of.jobs[-300]  # whose private values are on the disk, and are not

    def get(path: str) -> Callable[[Any], object]:
        return lambda client: asked(client.get(path))

    def find(key: str, value: str) -> Callable[[Any], object]:
        return lambda client: asked(client.post("/api/find", {key: value}))

    said: dict[str, tuple[str, Callable[[Any], object]]] = {
        "desk": ("owner", get("/api/desk")),
        "desk, the next page": ("owner", get("/api/desk?after=340." + of.jobs[0])),
        "jobs": ("owner", get("/api/jobs")),
        "bag, owner": ("owner", get(f"/api/jobs/{older}/bag")),
        "hours, mechanic": ("mechanic", get("/api/hours?procedure=hayfork")),
        "blob": ("owner", get(f"/api/blobs/{of.blob}")),
        "blob, mechanic": ("mechanic", get(f"/api/blobs/{of.blob}")),
        "blob, auditor": ("auditor", get(f"/api/blobs/{of.blob}")),
    }
    for who in ("owner", "auditor"):
        said[f"find a tool, {who}"] = (who, find("tool", "W7"))
        said[f"find a lot, {who}"] = (who, find("lot", "L3"))
        said[f"find a VIN, {who}"] = (who, find("vin", f"TT{len(of.jobs) - 1:09}"))
    for who in ("owner", "auditor", "mechanic"):
        its = open_job if who == "mechanic" else job
        said[f"job log, {who}"] = (who, get(f"/api/jobs/{its}/log"))
        said[f"log, the first page, {who}"] = (who, get("/api/log?most=100"))
        said[f"log, in the middle, {who}"] = (who, get(f"/api/log?most=100&since={size // 2}"))
        said[f"log, the newest, {who}"] = (who, get(f"/api/log?most=100&since={size - 100}"))
        said[f"log, nothing new, {who}"] = (who, get(f"/api/log?since={size}"))
    return said


def asked(answer: object) -> None:
    status = getattr(answer, "status_code", 0)
    if status != 200:
        raise RuntimeError(f"{status}: {answer}")


def reads(report: Report, *, full: bool) -> None:
    """Each question to the large workshop against the same to the small one."""
    sizes = JOBS_FULL if full else JOBS
    with workshops(sizes) as made:
        sides = [(questions(one), _signed_in(one)) for one in made]
        for name in sides[0][0]:
            took = [[_once(*side, name) for side in sides] for _ in range(ROUNDS + 2)][2:]
            ms = min(large for _, large in took) * 1_000
            ratio = min(large for _, large in took) / min(small for small, _ in took)
            says = f"{ms:.1f} ms at {sizes[1]} jobs"
            report(f"{name}, of {sizes[0]} jobs", [ratio], says)
        _memory(report, made)


def _signed_in(of: Grown) -> dict[str, Client]:
    client_of = clients(of.workshop)
    return {who: client_of(phone) for who, phone in of.people.items()}


def _once(
    said: dict[str, tuple[str, Callable[[Any], object]]], who: dict[str, Client], name: str
) -> float:
    by, question = said[name]
    since = time.perf_counter()
    question(who[by])
    return time.perf_counter() - since


def _memory(report: Report, made: list[Grown]) -> None:
    """What a process that serves holds after all of it was asked by several at once."""
    small, large = (_held(one) for one in made)
    says = f"{small:.0f} and {large:.0f} MiB, without what it maps of files"
    report("memory of a worker", [large / small], says)


def _held(of: Grown) -> float:
    with serving(of.workshop.folder) as (port, pid):
        with ThreadPoolExecutor(AT_ONCE) as pool:
            list(pool.map(lambda _: _ask_all(of, port), range(AT_ONCE)))
        return max(_anonymous_mib(one) for one in children_of(pid))


def _ask_all(of: Grown, port: int) -> None:
    lines = {who: Line(port, of, who) for who in of.people}
    for _ in range(3):
        for who, question in questions(of).values():
            question(lines[who])


class Line:
    """A line to a served workshop that is asked as a client in this process is."""

    def __init__(self, port: int, of: Grown, who: str) -> None:
        phone, sessions = of.people[who], of.workshop.store.sessions
        token, _ = sessions.start(phone.id, datetime.now(UTC))
        self._headers = {"Cookie": f"{COOKIE}={token}", "Two-Turns-Reads": str(EDITION)}
        self._line = http.client.HTTPConnection("127.0.0.1", port)

    def get(self, path: str) -> object:
        return self._ask("GET", path, b"")

    def post(self, path: str, body: object) -> object:
        return self._ask("POST", path, json.dumps(body).encode())

    def _ask(self, method: str, path: str, body: bytes) -> object:
        headers = {**self._headers, "Content-Type": "application/json"}
        self._line.request(method, path, body, headers)
        answer = self._line.getresponse()
        answer.read()
        return SimpleNamespace(status_code=answer.status)


def children_of(pid: int) -> list[int]:
    """Return the processes that one began (proc(5))."""
    return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def _anonymous_mib(pid: int) -> float:
    said = Path(f"/proc/{pid}/smaps_rollup").read_text()
    return int(said.partition("Anonymous:")[2].split()[0]) / 1024


def rebuild(report: Report, *, full: bool) -> None:
    """All views made anew, and the desk filled, against reading each record on one core."""
    with tempfile.TemporaryDirectory() as folder:
        of = grown(Path(folder) / "data", 10_000 if full else 1_000)
        store, ratios = of.workshop.store, []
        texts = [row["record"] for row in store.database.rows("select record from records")]
        for _ in range(3 if full else 2):
            least = _took(lambda: [record.parse(text) for text in texts])
            made = _took(store.rebuild)
            filled = _took(lambda: fill(store))
            ratios.append(made / least)
            says = f"{made:.1f} s for {len(texts)} records; the desk {filled:.1f} s"
        report("rebuild, of reading all records", ratios, says)


def backup(report: Report, *, full: bool) -> None:
    """The first backup, and the next ones, against copying and hashing the ledger's file."""
    with tempfile.TemporaryDirectory() as folder:
        of = grown(Path(folder) / "data", 10_000 if full else 1_000, is_signed=True)
        store, target = of.workshop.store, Path(folder) / "backup"
        copied = _took(lambda: _copy_and_hash(store.database.path, Path(folder) / "copy"))
        first = _took(lambda: back_up(store, target, datetime.now(UTC)))
        report("first backup, of copying the file", [first / copied], f"{first:.1f} s")
        phone, ratios = of.people["mechanic"], []
        for _ in range(3):
            job = uuid7()
            for _ in range(NEW_RECORDS // 50):
                of.workshop.push(*(phone.write("job.taken", {}, job) for _ in range(50)))
            copied = _took(lambda: _copy_and_hash(store.database.path, Path(folder) / "copy"))
            again = _took(lambda: back_up(store, target, datetime.now(UTC)))
            ratios.append(again / copied)
        report(f"{NEW_RECORDS} new records, of copying the file", ratios, f"{again:.2f} s")


TREES, TREES_FULL = (5_000, 500_000), (5_000, 5_000_000)
BATCH, BATCHES = 50, 40
# The complete subtrees over so many leaves, each with some hash: what they are of is never asked.
_NODES = """
with recursive level(l) as (select 0 union all select l + 1 from level where :size >> (l + 1) > 0),
    number(n) as (select 0 union all select n + 1 from number where n + 1 < :size)
insert into nodes select l, n, randomblob(32) from level cross join number where n < :size >> l
"""


def tree(report: Report, *, full: bool) -> None:
    """
    Batches appended to the tree alone, each in a transaction of its own, against one of 5,000.

    How many nodes that reads and writes is counted in a test (`test_tree_cost.py`).
    """
    with tempfile.TemporaryDirectory() as folder:
        sizes = TREES_FULL if full else TREES
        databases = [_tree_of(Path(folder) / f"{size}.db", size) for size in sizes]
        ratios = []
        for number in range(BATCHES):
            few, many = (
                _took(partial(_append, one, size + number * BATCH))
                for one, size in zip(databases, sizes, strict=True)
            )
            ratios.append(many / few)
        report(f"tree, {BATCH} at {sizes[1]:,} against at {sizes[0]:,}", ratios)


def _tree_of(path: Path, size: int) -> Database:
    database = Database(path)
    with database.write() as db:
        run_script(db, SCHEMA)
        db.execute(_NODES, {"size": size})
    return database


def _append(database: Database, size: int) -> None:
    with database.write() as db:
        grown = KnownNodes(db).tree(size)
        for n in range(BATCH):
            grown.append(leaf_hash(f"{size + n}".encode()))
        grown.root()


def _copy_and_hash(path: Path, copy: Path) -> str:
    shutil.copyfile(path, copy)
    with copy.open("rb") as file:
        os.fsync(file.fileno())
        return hashlib.file_digest(file, "sha256").hexdigest()


def _took(work: Callable[[], object]) -> float:
    since = time.perf_counter()
    work()
    return time.perf_counter() - since
