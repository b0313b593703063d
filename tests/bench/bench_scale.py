"""
Where the ledger and the photos lie, and what it costs: as ratios of one run on one machine.

Run by hand: `PYTHONPATH=server:tests:tests/bench python tests/bench/bench_scale.py [SECTION ...]
[--full]`. It starts a real PostgreSQL (alone, and with a synchronous standby) and a real replicated
object store, all on this machine: so each has a share of the same two cores.

    pairs    a batch of 50 entries, a photo of 3 MB, a page, a question, the desk and a bag, of each
             pair of ledger and photos, against SQLite and a folder by turns (1.0: as fast)
    engine   a batch against what its engine does alone with the same rows, one commit
    chain    a day of many workshops at one `serve`, on PostgreSQL and S3: how many such days one
             has the hours for, and the last workshops' time against the first ones'
    growth   the same questions to a ledger of many records against one of few, in each engine

Found on a busy machine of two cores: see `server/docs/scale.md`.
"""

import hashlib
import os
import secrets
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import partial
from http.client import HTTPConnection
from pathlib import Path
from statistics import median

import psycopg
from bench_server import BATCH, Line, job_of, pushing, report, took, uploading
from grown import Grown, grown
from over_years import _signed_in, asked, questions
from sections import asked_for

from postgres import Server, alone, replicated
from seaweed import PLAIN, running
from served import beginning
from twoturns.store.dialect import translated
from twoturns.store.installation import Installation
from twoturns.store.summaries import fill
from workshop import Phone, Workshop

ROUNDS = 7
PHOTO_BYTES = 3 << 20
DAY_HOURS = 10  # chosen: in which a day's work comes in
# As the issue has it: 300 workshops, 300,000 entries and 6,000 photos a day.
ENTRIES_A_DAY, PHOTOS_A_DAY = 1_000, 20
SHOPS, SHOPS_FULL = 12, 300
AT_ONCE = 4  # phones that send at one moment
JOBS, JOBS_FULL = (
    (400, 4_000),
    (17_000, 170_000),
)  # six records each: the full one from 100,000 to a million
ASKED = ("log, the first page, mechanic", "find a lot, owner", "desk", "job log, owner")


@dataclass(frozen=True)
class Engines:
    """What is started: a server, the address of a pair of them, and of the photos' store."""

    server: Server
    standby: str
    photos: Callable[[], str]

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
            name: _made(folder / hashlib.sha256(name.encode()).hexdigest()[:8], jobs, **urls)
            for name, urls in where.items()
        }

    def ledger(self) -> str:
        return _schema(self.server.url)


def _schema(url: str) -> str:
    return f"{url}{'&' if '?' in url else '?'}schema=s_{secrets.token_hex(4)}"


def _made(folder: Path, jobs: int, **where: str) -> Grown:
    made = grown(folder, jobs, **where)
    made.workshop.store.rebuild()
    fill(made.workshop.store)
    return made


@contextmanager
def engines() -> Iterator[Engines]:
    with alone() as server, replicated() as pair, running() as store:
        os.environ |= {"AWS_ACCESS_KEY_ID": store.key, "AWS_SECRET_ACCESS_KEY": store.secret}
        yield Engines(server, pair.url, partial(store.url, PLAIN))


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
    phone, store = of.people["mechanic"], of.workshop.store
    said, who = questions(of), _signed_in(of)
    batches = iter([job_of(phone) for _ in range(ROUNDS)])
    photos = iter([secrets.token_bytes(PHOTO_BYTES) for _ in range(ROUNDS)])
    bag = f"/api/jobs/{of.jobs[-300 if len(of.jobs) > 300 else 0]}/bag"

    def ask(name: str) -> object:
        by, question = said[name]
        return question(who[by])

    return {
        "a batch of 50": lambda: of.workshop.push(*next(batches)),
        "a photo of 3 MB": lambda: store.blobs.put(next(photos)),
        **{name: partial(ask, name) for name in ASKED},
        "a bag": lambda: asked(who["owner"].get(bag)),
    }


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
    for name, url in (("SQLite", lambda: None), ("PostgreSQL", started.ledger)):
        with tempfile.TemporaryDirectory() as folder:
            few, many = (
                _ways(_made(Path(folder) / str(jobs), jobs, ledger=url())) for jobs in sizes
            )
            for what in few:
                rounds = [(took(many[what]), took(few[what])) for _ in range(ROUNDS)]
                ratios = [large / small for large, small in rounds[1:]]
                says = f"{median(large for large, _ in rounds) * 1_000:.1f} ms at {sizes[1]} jobs"
                report(f"{name}, {what}, of {sizes[0]} jobs", ratios, says)


SECTIONS = {"pairs": pairs, "engine": engine, "chain": chain, "growth": growth}


def main() -> None:
    names, full = asked_for(
        SECTIONS, "ratios: least, median, most", "a chain of 300, a million records"
    )
    with engines() as started:
        for name in names:
            sys.stdout.write(f"{name}:\n")
            SECTIONS[name](started, full=full)


if __name__ == "__main__":
    main()
