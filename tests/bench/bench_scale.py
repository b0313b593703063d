"""
Where the ledger and the photos lie, and what it costs: as ratios of one run on one machine.

Run by hand: `PYTHONPATH=server:tests:tests/bench python tests/bench/bench_scale.py [SECTION ...]
[--full] [--keep FOLDER]`. It starts, as they are asked for, a real PostgreSQL, one with a
synchronous standby, and a real replicated object store, all on this machine: so each has a share of
the same two cores. What `growth` makes may be kept in a folder, as it takes longer than to ask it.

    pairs    a batch of 50 entries, a photo of 3 MB, a page, a question, the desk and a bag, of each
             pair of ledger and photos, against SQLite and a folder by turns (1.0: as fast)
    engine   a batch against what its engine does alone with the same rows, one commit
    chain    a day of many workshops at one `serve`, on PostgreSQL and S3: how many such days one
             has the hours for, and the last workshops' time against the first ones'
    growth   a batch and every question to ledgers of many records against one of few, in each
             engine: 1.0 is as fast, and more than LIMIT is said to be too much

Found on a busy machine of two cores: see `server/docs/scale.md`.
"""

import hashlib
import os
import secrets
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from functools import cached_property, partial
from http.client import HTTPConnection
from pathlib import Path
from statistics import median

import psycopg
from bench_server import BATCH, Line, job_of, pushing, report, took, uploading
from grown import Grown, grown, kept
from over_years import _signed_in, questions
from sections import asked_for_kept

from every_route import questions as every_question
from postgres import Server, alone, replicated
from postgres import kept as kept_server
from seaweed import PLAIN, Seaweed, running
from served import beginning
from twoturns.store.dialect import translated
from twoturns.store.installation import Installation
from twoturns.store.summaries import fill
from workshop import Phone, Workshop, tiny_bundle

ROUNDS = 7
PHOTO_BYTES = 3 << 20
DAY_HOURS = 10  # chosen: in which a day's work comes in
# As the issue has it: 300 workshops, 300,000 entries and 6,000 photos a day.
ENTRIES_A_DAY, PHOTOS_A_DAY = 1_000, 20
SHOPS, SHOPS_FULL = 12, 300
AT_ONCE = 4  # phones that send at one moment
RECORDS = 6  # of a job
JOBS, JOBS_FULL = (400, 4_000), (17_000, 170_000, 835_000)  # 100,000 records, 1 M, 5 M
LIMIT = 1.5  # times as long as of the smallest, at most
ASKED = (
    "log, the first page, mechanic",
    "find a lot, owner",
    "desk",
    "job log, owner",
    "bag, owner",
)


class Engines:
    """What is started when it is first asked for: a server, a pair of them, the photos' store."""

    def __init__(self, started: ExitStack, keep: Path | None) -> None:
        self._started, self._keep = started, keep

    @cached_property
    def server(self) -> Server:
        return self._started.enter_context(
            alone() if self._keep is None else kept_server(self._keep / "server")
        )

    @cached_property
    def standby(self) -> str:
        return self._started.enter_context(replicated()).url

    @cached_property
    def _store(self) -> Seaweed:
        store = self._started.enter_context(running(is_roomy=True))
        os.environ |= {"AWS_ACCESS_KEY_ID": store.key, "AWS_SECRET_ACCESS_KEY": store.secret}
        return store

    def photos(self) -> str:
        return self._store.url(PLAIN)

    @cached_property
    def folder(self) -> Path:
        """Where workshops that are long to make are kept."""
        return self._keep or Path(self._started.enter_context(tempfile.TemporaryDirectory()))

    def pairs(self, folder: Path, jobs: int) -> dict[str, Grown]:
        """Make a workshop of so many jobs in each pair of ledger and photos."""
        where = {
            "SQLite, folder": {},
            "SQLite, S3": {"photos": self.photos()},
            "PostgreSQL, S3": {"ledger": self.ledger(), "photos": self.photos()},
            "PostgreSQL and standby, S3": {
                "ledger": _schema(self.standby),
                "photos": self.photos(),
            },
        }
        return {
            name: grown(folder / hashlib.sha256(name.encode()).hexdigest()[:8], jobs, **urls)
            for name, urls in where.items()
        }

    def ledger(self) -> str:
        return _schema(self.server.url)


def _schema(url: str) -> str:
    return f"{url}{'&' if '?' in url else '?'}schema=s_{secrets.token_hex(4)}"


# The pairs.


def pairs(started: Engines, *, full: bool) -> None:
    """All that is asked of a workshop, in each pair against SQLite and a folder."""
    with tempfile.TemporaryDirectory() as folder:
        made = started.pairs(Path(folder), 2_000 if full else 300)
        ways = {name: _ways(of) for name, of in made.items()}
        first = next(iter(ways))
        for what in ways[first]:
            rounds = [{name: took(way[what]) for name, way in ways.items()} for _ in range(ROUNDS)]
            for name in [name for name in ways if name != first]:
                ratios = [each[first] / each[name] for each in rounds[1:]]
                ms = median(each[name] for each in rounds) * 1_000
                report(f"{what}: {name}", ratios, f"{ms:.1f} ms")


def _ways(of: Grown) -> dict[str, Callable[[], object]]:
    """What is timed of one workshop. What is sent is made before: each way is done once a round."""
    photos = iter([secrets.token_bytes(PHOTO_BYTES) for _ in range(ROUNDS)])
    return {
        "a batch of 50": _batches(of),
        "a photo of 3 MB": lambda: of.workshop.store.blobs.put(next(photos)),
        **{name: way for name, way in _questions(of).items() if name in ASKED},
    }


def _batches(of: Grown) -> Callable[[], object]:
    batches = iter([job_of(of.people["mechanic"]) for _ in range(ROUNDS)])
    return lambda: of.workshop.push(*next(batches))


def _questions(of: Grown) -> dict[str, Callable[[], object]]:
    who = _signed_in(of)
    return {name: partial(ask, who[by]) for name, (by, ask) in questions(of).items()}


# The engine alone.


def engine(started: Engines, *, full: bool) -> None:
    """A batch, against the same rows put into the same engine, in one commit, by nobody."""
    rounds = 40 if full else 12
    with tempfile.TemporaryDirectory() as folder:
        for name, url, bare in (
            ("SQLite", None, _bare_sqlite(Path(folder) / "bare.db")),
            ("PostgreSQL", started.ledger(), _bare_postgres(started.server.admin_url)),
            ("PostgreSQL and standby", _schema(started.standby), _bare_postgres(started.standby)),
        ):
            shop = Workshop(Path(folder) / name, ledger=url)
            phone, ratios = shop.enrol("mechanic"), []
            for _ in range(rounds):
                size = shop.store.ledger.size()
                ours = took(partial(shop.push, *job_of(phone)))
                rows = shop.store.database.rows(
                    'select "index", id, record from records where "index" >= ?', [size]
                )
                told = [tuple(row.values()) for row in rows]
                ratios.append(took(lambda: bare(told)) / ours)  # noqa: B023 - done at once
            report(f"a batch, of {name} alone", ratios[2:])


_TABLE = 'create table bare ("index" integer primary key, id text not null, record text not null)'
_ROW = "insert into bare values (?, ?, ?)"
Bare = Callable[[list[tuple[object, ...]]], object]


def _bare_sqlite(path: Path) -> Bare:
    db = sqlite3.connect(path, isolation_level=None)
    for said in ("PRAGMA journal_mode=WAL", "PRAGMA synchronous=FULL", _TABLE):
        db.execute(said)

    def put(rows: list[tuple[object, ...]]) -> None:
        db.execute("BEGIN IMMEDIATE")
        db.executemany(_ROW, rows)
        db.execute("COMMIT")

    return put


def _bare_postgres(url: str) -> Bare:
    db = psycopg.connect(url)
    name = f"bare_{secrets.token_hex(4)}"
    db.execute(f"create schema {name}; set search_path to {name}")
    db.execute(translated(_TABLE).sql.encode())
    db.commit()

    def put(rows: list[tuple[object, ...]]) -> None:
        db.cursor().executemany("insert into bare values (%s, %s, %s)", rows)
        db.commit()

    return put


# A chain.


def chain(started: Engines, *, full: bool) -> None:
    """A day of many workshops, each entry and each photo of it, as phones send them."""
    count = SHOPS_FULL if full else SHOPS
    with tempfile.TemporaryDirectory() as folder:
        installation = Installation(Path(folder) / "chain")
        shops = [_shop(installation, f"shop{n}.example", started) for n in range(count)]
        with beginning(installation.folder) as (port, _), ThreadPoolExecutor(AT_ONCE) as phones:
            for host, _ in shops:
                _wait_for(port, host)
            days = [partial(_day, port, host, *shop) for host, shop in shops]
            took_each = list(phones.map(took, days))
        whole = sum(took_each) / AT_ONCE
        says = f"{count} workshops, {count * ENTRIES_A_DAY} entries, {count * PHOTOS_A_DAY} photos"
        report(
            f"such days in one of {DAY_HOURS} hours",
            [DAY_HOURS * 3_600 / whole],
            f"{says}, {whole:.0f} s",
        )
        third = max(1, count // 3)
        late, early = sum(took_each[-third:]), sum(took_each[:third])
        report("the last third, of the first", [late / early])


def _shop(
    installation: Installation, host: str, started: Engines
) -> tuple[str, tuple[Workshop, Phone]]:
    place = installation.place(host)
    installation.make()
    shop = Workshop(place, ledger=started.ledger(), photos=started.photos())
    phone = shop.enrol("mechanic")
    return host, (shop, phone)


def _wait_for(port: int, host: str) -> None:
    """Wait until a workshop is opened: until then phones are told to come again."""
    while True:
        with suppress(OSError):
            line = HTTPConnection("127.0.0.1", port)
            line.request("GET", "/api/workshop", headers={"Host": host})
            if line.getresponse().status == 200:
                return
        time.sleep(0.05)


def _day(port: int, host: str, shop: Workshop, phone: Phone) -> None:
    """Send a day's entries in batches, and its photos, over one line."""
    line = Line(port, shop, phone, host)
    for _ in range(ENTRIES_A_DAY // BATCH):
        pushing(job_of(phone))(line)
    for _ in range(PHOTOS_A_DAY):
        photo = secrets.token_bytes(PHOTO_BYTES)
        uploading(photo, hashlib.sha256(photo).hexdigest(), None)(line)


# Growth.


def growth(started: Engines, *, full: bool) -> None:
    """Each engine with many records against the same with few."""
    sizes = JOBS_FULL if full else JOBS
    for name, engine in (("SQLite", "sqlite"), ("PostgreSQL", "postgresql")):
        ledger = started.ledger if engine == "postgresql" else lambda: None
        made = [kept(started.folder / f"{engine}-{jobs}", jobs, ledger=ledger()) for jobs in sizes]
        _compare(f"{name}, a batch of 50", [_batches(one) for one in made], sizes)
        for one in made:
            fill(one.workshop.store)  # as `serve` folds what came in: the desk would at each look
        ways = [_questions(one) for one in made]
        for what in ways[0]:
            _compare(f"{name}, {what}", [way[what] for way in ways], sizes)
        _every_route(name, made, sizes)


def _compare(what: str, ways: list[Callable[[], object]], sizes: Sequence[int]) -> None:
    """Do the same at each size, by turns; print what comes of it."""
    _report(what, [[took(way) for way in ways] for _ in range(ROUNDS)][1:], sizes)


def _report(what: str, rounds: Sequence[Sequence[float]], sizes: Sequence[int]) -> None:
    for at, jobs in enumerate(sizes[1:], 1):
        ratios = [each[at] / each[0] for each in rounds]
        ms = median(each[at] for each in rounds) * 1_000
        too_much = "" if median(ratios) <= LIMIT else f", MORE THAN {LIMIT}"
        says = f"{ms:.1f} ms{too_much}"
        report(f"{what}: {jobs * RECORDS:,} of {sizes[0] * RECORDS:,}", ratios, says)


def _every_route(engine: str, made: list[Grown], sizes: Sequence[int]) -> None:
    """Ask whatever can be asked, as an owner and as a mechanic; print what grows."""
    asked = [list(every_question(_named(one))) for one in made]
    who = [_signed_in(one) for one in made]
    count = 0
    for role in ("owner", "mechanic"):
        for same in zip(*asked, strict=True):
            ways = [
                partial(question.asked_by, people[role])
                for question, people in zip(same, who, strict=True)
            ]
            first, *others = [way()[0] for way in ways]
            if first != 200:  # a mechanic may not, or too many are meant
                continue
            count += 1
            what = f"{engine}, {role}: {same[0]}"
            if set(others) != {200}:
                report(f"{what}: NOT ANSWERED, {others}", [0])
                continue
            each = [[took(way) for _ in range(3)] for way in ways]
            if min(each[-1]) > LIMIT * min(each[0]):
                _report(what, list(zip(*each, strict=True)), sizes)
    report(f"{engine}: questions asked of routes, besides", [count])


def _named(of: Grown) -> dict[str, str]:
    """Return what routes are asked with."""
    return {
        "JOB": of.jobs[-200],
        "VIN": of.blob,
        "BUNDLE": tiny_bundle().sha256,
        "K2": "QV-2.0",
        "PERSON": of.people["mechanic"].person,
    }


SECTIONS = {"pairs": pairs, "engine": engine, "chain": chain, "growth": growth}


def main() -> None:
    names, full, keep = asked_for_kept(
        SECTIONS, "ratios: least, median, most", "a chain of 300, five million records"
    )
    with ExitStack() as stack:
        started = Engines(stack, keep)
        for name in names:
            sys.stdout.write(f"{name}:\n")
            SECTIONS[name](started, full=full)


if __name__ == "__main__":
    main()
