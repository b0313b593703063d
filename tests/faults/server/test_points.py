"""
A server is killed (SIGKILL) at every point at which it writes, whatever it writes to: SQLite and a
folder, SQLite and S3, PostgreSQL and S3, each a real engine.

Before and after each statement that writes, each commit, each flush and rename of the folder, each
request by which the object store is written to or erased, and in the middle of those that have one
(`mortal.py`). Then a server starts on what is there, the phone goes on from what it was answered,
and all that was ever acknowledged is as it was told: each entry once and byte for byte, each photo
whole, one root for each size that a checkpoint was signed for, nothing of what is half here, wrong
or erased.

The points are those that a first run of each act met. Of those that are alike a few are tried
(`chosen`); all of them by `--every-point`.
"""

import hashlib
import http.client
import json
import os
import re
import secrets
import select
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from datetime import timedelta
from functools import cache
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from by_http import Browser, Reply
from faults.server.verdict import views_of
from photos import photo
from seaweed import ENDS_WITH_US, KEEPS_VERSIONS
from twoturns.bag.picture import THUMBNAIL_PX
from twoturns.ledger import checkpoint
from twoturns.ledger.record import parse
from twoturns.store import Store
from twoturns.store.blob_bucket import BlobBucket
from twoturns.store.doctor import examine
from twoturns.store.ledger_url import VARIABLE
from twoturns.store.newest_checkpoint import Newest
from twoturns.store.scrub import scrub
from workshop import NOON, Phone, Workshop, opening, private_value, uuid7

pytestmark = [pytest.mark.slow(200), pytest.mark.embedded("it says itself where its workshops lie")]
TESTS = Path(__file__).parents[2]
PAIRS = ("sqlite+dir", "sqlite+s3", "postgresql+s3")
#: Each life of the server begins so much later: what a device may send comes back with time.
LIFE = timedelta(hours=2)
PIECE = 1_000
#: For a word of the server's: within some hundredths of a second where nobody else is at work.
PATIENCE_S = 60
_numbers = count(1)


class Died(Exception):
    """The server was killed: no answer, or half of one."""


class Served:
    """The server that dies (`mortal.py`), and when."""

    def __init__(self, folder: Path) -> None:
        command = [*ENDS_WITH_US, sys.executable, "-m", "faults.server.mortal", str(folder)]
        environment = {**os.environ, "PYTHONPATH": str(TESTS)}
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, bufsize=0, env=environment
        )
        self.port = self._told()["port"]
        self.now, self.pid = NOON, 0

    def _told(self) -> dict[str, Any]:
        """Return what it says next, which is not waited for without end."""
        assert self.process.stdout is not None
        heard, _, _ = select.select([self.process.stdout], [], [], PATIENCE_S)
        assert heard, f"nothing was told for {PATIENCE_S} s"
        line = self.process.stdout.readline()
        assert line, "it ended"
        return json.loads(line)

    def start(self, act: str = "") -> list[str]:
        """
        Serve, a while later; return what points were met in an act that is counted.

        Raises:
            Died: If it came to the point of that act.
        """
        self.now += LIFE
        assert self.process.stdin is not None
        self.process.stdin.write(f"{self.now.isoformat()} {act}\n".encode())
        told = self._told()
        if "ended" in told:
            assert told == {"ended": -signal.SIGKILL}
            raise Died
        self.pid = told["open"]
        return told["points"]

    def heard_dying(self) -> None:
        """Wait until it is dead, and of nothing but its point."""
        assert self._told() == {"ended": -signal.SIGKILL}

    def start_anew(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        self.heard_dying()
        self.start()

    def end(self) -> None:
        with self.process:
            self.process.kill()  # who serves ends with it


@dataclass
class Shop:
    """A workshop, who asks it, and all that it ever acknowledged to them."""

    workshop: Workshop
    served: Served
    roots: dict[int, bytes] = field(default_factory=dict)
    entries: dict[str, tuple[int, str]] = field(default_factory=dict)  # id -> index, line
    photos: dict[str, bytes] = field(default_factory=dict)
    erased: set[str] = field(default_factory=set)
    act: str = ""
    points: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.phone, self.other = self.enrol("mechanic"), self.enrol("mechanic")
        self.owner, self.second = self.enrol("owner"), self.enrol("owner")
        self.served.now += timedelta(days=8)  # from then on an owner's device is a second voice
        self.served.start()

    @property
    def store(self) -> Store:
        return self.workshop.store

    def enrol(self, role: str) -> Browser:
        return Browser("localhost", self.workshop.enrol(role))

    def ask(self, who: Browser, ask: Callable[..., Reply], *said: Any, **more: Any) -> Reply:
        """Ask as a phone does: signed in anew where its session is over."""
        answer = self._ask(ask, *said, **more)
        if answer.status == 401:
            act, self.act = self.act, ""  # it is none of the act's
            self.sign_in(who)
            self.act = act
            answer = self._ask(ask, *said, **more)
        return answer

    def _ask(self, ask: Callable[..., Reply], *said: Any, **more: Any) -> Reply:
        headers = {"Act": self.act} if self.act else {}
        try:
            answer = ask(self.served.port, *said, **more, **headers)
        except (OSError, http.client.HTTPException) as error:
            self.served.heard_dying()
            raise Died from error
        if self.act:
            self.points = json.loads(answer.headers["Points"])
        return answer

    def sign_in(self, who: Browser) -> None:
        said = {"device": who.phone.id}
        nonce = self._ask(who.ask, "POST", "/api/session/nonce", said)
        assert self._ask(who.sign_in, nonce.json["nonce"]).status == 200

    def get(self, who: Browser, path: str) -> Reply:
        return self.ask(who, who.ask, "GET", path)

    def push(self, who: Browser, *said: Any, blobs: tuple[bytes, ...] = ()) -> None:
        receipt = self.ask(who, who.push, *said, blobs=blobs).json
        assert receipt["refused"] == []
        self.hear(receipt["checkpoint"])
        for one in said:
            told = (receipt["indices"][one.id], f"{receipt['stamps'][one.id]} {one.line}")
            assert self.entries.setdefault(one.id, told) == told
        for blob in blobs:
            self.photos[hashlib.sha256(blob).hexdigest()] = blob

    def upload(self, who: Browser, sha256: str, data: bytes, piece: int, most: int) -> Reply | None:
        """Send so many pieces from where the server stands; return what it did not take."""
        begun = self.begin(who, sha256, len(data))
        if begun.status != 201:  # all of it was there, and was looked at now
            return begun
        offset = int(begun.headers["Upload-Offset"])
        for _ in range(most):
            if offset == len(data):
                break
            part = data[offset : offset + piece]
            answer = self.ask(who, who.send_piece, sha256, offset, part)
            if answer.status != 204:
                return answer
            offset = int(answer.headers["Upload-Offset"])
        return None

    def begin(self, who: Browser, sha256: str, length: int) -> Reply:
        return self.ask(who, who.begin_upload, sha256, length)

    def send_photo(self, who: Browser, data: bytes, piece: int) -> str:
        sha256 = hashlib.sha256(data).hexdigest()
        refused = self.upload(who, sha256, data, piece, most=99)
        assert refused is None, refused.data
        receipt = self.get(who, f"/api/blobs/{sha256}/receipt").json
        self.hear(receipt["checkpoint"])
        self.photos[sha256] = data
        return sha256

    def hear(self, note: str) -> None:
        """Note a signed checkpoint: there is one root for each size."""
        key = self.store.ledger.key
        one = checkpoint.open(note, key, self.store.ledger.workshop)
        assert self.roots.setdefault(one.size, one.root) == one.root
        assert self.store.ledger.root_at(one.size) == one.root

    def sweep_up(self) -> None:
        """Check all that is too dear to be checked after each kill."""
        store = self.store
        found = [what for _, what in scrub(store)]
        assert set(found) <= {"whole"}
        assert len(found) == len(store.views.kept()) >= len(self.photos)
        kept = [
            blob["blob"]
            for row in store.database.rows(_KEPT)
            for blob in parse(row["record"]).entry.body["blobs"]
        ]
        assert len(kept) == len(set(kept)), "stated twice"
        for size, root in self.roots.items():
            assert store.ledger.root_at(size) == root
        assert self.halves() == []
        before = views_of(store)
        assert store.rebuild() == []
        assert views_of(store) == before

    def halves(self) -> list[str]:
        blobs = self.store.blobs
        if isinstance(blobs, BlobBucket):
            return all_below(blobs, "uploads/")
        return [str(path) for path in (self.workshop.folder / "uploads").glob("*/*")]


def all_below(blobs: BlobBucket, prefix: str) -> list[str]:
    """Return the names of all objects below a prefix, in any version."""
    listed = blobs.bucket._objects.list(prefix, recursive=True, versions=True, deleted=True)
    return [one.path for one in listed if not one.path.endswith("/")]


_KEPT = """
select record from entries join records using ("index") where kind = 'blob.kept' and job is null
"""


class Act:
    """
    What a device does: broken off anywhere, it is gone on with by doing it again.

    Until it is known as kept, what it `sends` is shown whole or not at all; what is `wrong` never.
    """

    is_a_start = False
    sends: dict[str, bytes]
    wrong: tuple[str, ...] = ()

    def __init__(self, shop: Shop) -> None:
        self.shop, self.sends = shop, {}
        self.prepare()

    def prepare(self) -> None:
        """Do what comes before it."""

    def go(self) -> None:
        """Do it to its end, or on from where it stands."""
        raise NotImplementedError

    def photo(self, more: int = 0) -> tuple[str, bytes]:
        """Return a new photo that is a picture, with so many bytes behind it."""
        data = _PICTURE + os.urandom(16 + more)
        sha256 = hashlib.sha256(data).hexdigest()
        self.sends[sha256] = data
        return sha256, data


_PICTURE = photo(80, 60)


class SigningIn(Act):
    def go(self):
        self.shop.sign_in(self.shop.phone)


class Enrolling(Act):
    """It is nobody's session."""

    def prepare(self):
        workshop = self.shop.workshop
        workshop.now = self.shop.served.now
        invitation, secret, person = workshop.invite("mechanic", hours=24)
        phone = Phone(workshop.store.ledger.workshop, person, "mechanic")
        self.newcomer = Browser("localhost", phone)
        self.said = workshop.enrolment(phone, invitation, secret)

    def go(self):
        said = {"line": self.said.line}
        told = self.shop._ask(self.newcomer.ask, "POST", "/api/enrol", said).json
        self.shop.hear(told["checkpoint"])
        place = (told["index"], self.said.line)
        assert self.shop.entries.setdefault(self.said.id, place) == place


class Entries(Act):
    def prepare(self):
        phone, values = self.shop.phone.phone, self._values()
        job = uuid7()
        self.said = [phone.write("job.opened", opening(*values), job)]
        self.said.append(phone.write("job.taken", {}, job))

    def _values(self) -> list[bytes]:
        values = [private_value("vin", "TT 9"), private_value("plate", "W 9")]
        self.sends = {hashlib.sha256(one).hexdigest(): one for one in values}
        return values

    def go(self):
        self.shop.push(self.shop.phone, *self.said, blobs=tuple(self.sends.values()))


class PhotoInPieces(Act):
    piece = PIECE

    def prepare(self):
        self.sha256, self.data = self.photo()

    def go(self):
        self.shop.send_photo(self.shop.phone, self.data, self.piece)


class PhotoWhole(PhotoInPieces):
    """So large that the object store is given it in several requests."""

    piece = 1 << 30

    def prepare(self):
        self.sha256, self.data = self.photo((5 << 20) + 5_000)


class WrongPhoto(Act):
    def prepare(self):
        (self.sha256, self.data), (_, self.other) = self.photo(), self.photo()
        self.sends, self.wrong = {}, (self.sha256,)

    def go(self):
        refused = self.shop.upload(self.shop.phone, self.sha256, self.other, PIECE, most=9)
        assert refused is not None
        assert (refused.status, refused.json["code"]) == (460, "wrong-hash")


class Thumbnail(Act):
    small = None

    def prepare(self):
        sha256, data = self.photo()
        self.shop.send_photo(self.shop.phone, data, 1 << 30)
        self.path = f"/api/blobs/{sha256}?width={THUMBNAIL_PX}"

    def go(self):
        small = self.shop.get(self.shop.owner, self.path)
        assert small.status == 200
        assert self.small in (None, small.data)
        self.small = small.data


class Erasing(Act):
    """One owner ordered it, another hastens it. Of the photo there is a half and a small one."""

    def prepare(self):
        shop, (self.sha256, data) = self.shop, self.photo()
        shop.upload(shop.other, self.sha256, data, PIECE, most=1)
        shop.send_photo(shop.phone, data, 1 << 30)
        path = f"/api/blobs/{self.sha256}?width={THUMBNAIL_PX}"
        assert shop.get(shop.owner, path).status == 200
        body = {"blobs": [self.sha256], "reason": "asked for", "basis": "GDPR 17(1)"}
        order = shop.owner.phone.write("erasure.ordered", body)
        shop.push(shop.owner, order)
        body = {"order": order.id, "because": "a face"}
        self.said = shop.second.phone.write("erasure.hastened", body)
        del shop.photos[self.sha256]  # from here on it may be gone

    def go(self):
        self.shop.push(self.shop.second, self.said)
        self.shop.erased.add(self.sha256)


class GoingOnErasing(Act):
    """A server starts where one died between the statement and the bytes."""

    is_a_start = True

    def prepare(self):
        self.erasing = Erasing(self.shop)
        self.sends = self.erasing.sends
        self.shop.act = f"{next(_numbers)} after ledger commit nodes 2"
        with pytest.raises(Died):
            self.erasing.go()
        self.is_served = False

    def go(self):
        if not self.is_served:
            self.is_served = True  # by who starts it now, or after that
            self.shop.points = self.shop.served.start(self.shop.act)
            self.shop.act = ""
        self.erasing.go()


def check(shop: Shop, one: Act) -> None:
    """All that was acknowledged is so, and nothing is shown that is half here, wrong or erased."""
    store = shop.store
    rows = store.database.rows('select "index", id, record from records')
    assert len({row["id"] for row in rows}) == len(rows)
    stands = {row["id"]: row for row in rows}
    for entry_id, (index, text) in shop.entries.items():
        assert stands[entry_id]["index"] == index
        assert stands[entry_id]["record"].endswith(text)
    shop.hear(shop.get(shop.owner, f"/api/log?since={len(rows)}").json["checkpoint"])
    assert len(rows) == max(shop.roots)
    for note in Newest(shop.workshop.folder).notes():
        with suppress(checkpoint.BadCheckpoint):  # torn: the other one stands
            shop.hear(note)
    for sha256, data in one.sends.items():
        check_blob(shop, sha256, data)
    for sha256 in one.wrong:
        assert shop.get(shop.owner, f"/api/blobs/{sha256}").status == 404
        assert not store.blobs.has(sha256)


def look_over(shop: Shop, one: Act) -> None:
    """Do what `scrub` and `doctor` do: nothing is amiss, but that there is no backup."""
    store = shop.store
    kept = [sha256 for sha256 in one.sends if store.views.kept_at(sha256) is not None]
    kept = [sha256 for sha256 in kept if not store.views.is_erased(sha256)]
    assert [what for _, what in scrub(store, kept)] == ["whole"] * len(kept)
    amiss = [found for found in examine(store, shop.served.now) if found.level == "bad"]
    assert [found.code for found in amiss] == ["backup"]


def check_blob(shop: Shop, sha256: str, data: bytes) -> None:
    """A blob is shown whole or not at all; what is erased lies nowhere, in no version."""
    blobs = shop.store.blobs
    shown = shop.get(shop.owner, f"/api/blobs/{sha256}")
    assert (shown.status, shown.data) == (200, data) or shown.status == 404
    if blobs.has(sha256):
        assert blobs.is_whole(sha256)
    if sha256 in shop.photos:
        assert shown.status == 200
    if sha256 in shop.erased:
        assert shop.store.views.is_erased(sha256)
    if shop.store.views.is_erased(sha256):  # by who just started, where another died over it
        assert shown.status == 404
        assert lying(shop, sha256) == []


def lying(shop: Shop, sha256: str) -> list[str]:
    """Return the names of all that there is of a blob."""
    blobs = shop.store.blobs
    if not isinstance(blobs, BlobBucket):
        return [str(path) for path in shop.workshop.folder.rglob(f"{sha256}*")]
    prefixes = (f"blobs/{sha256[:2]}/", f"thumbnails/{sha256[:2]}/", "damaged/", "uploads/")
    listed = [name for prefix in prefixes for name in all_below(blobs, prefix)]
    return [name for name in listed if sha256 in name]


def counted(shop: Shop, act: type[Act], *, is_cold: bool) -> list[str]:
    """Do an act to its end, and return the points that it met."""
    one = act(shop)
    if is_cold:
        shop.served.start_anew()
    shop.act = f"{next(_numbers)}"
    one.go()
    shop.act = ""
    check(shop, one)
    return shop.points


def die_at(shop: Shop, act: type[Act], point: str, *, is_cold: bool) -> None:
    """Have the server killed at a point of an act, and go on with it."""
    one = act(shop)
    if is_cold:
        shop.served.start_anew()
    shop.act = f"{next(_numbers)} {point}"
    with pytest.raises(Died):
        one.go()
    shop.act = ""
    shop.served.start()
    check(shop, one)
    look_over(shop, one)
    one.go()
    check(shop, one)
    if not one.wrong:
        assert shop.entries.keys() | shop.photos.keys() | shop.erased >= one.sends.keys()


def chosen(points: list[str], *, are_all: bool) -> list[str]:
    """
    Return all points; or one of those that are alike: the first before a call, the last within or
    after it. Of a transaction, its commit alone: nobody sees anything of its statements until then.
    """
    alike: dict[str, str] = {}
    for point in points:
        name = point.rpartition(" ")[0]
        if _WITHIN.match(name):
            continue
        if name.startswith("before"):
            alike.setdefault(name, point)
        else:
            alike[name] = point
    return [point for point in points if are_all or point in alike.values()]


_WITHIN = re.compile(r"\w+ ledger (create|insert|update|delete) ")


ACTS = (
    SigningIn,
    Enrolling,
    Entries,
    PhotoInPieces,
    PhotoWhole,
    WrongPhoto,
    Thumbnail,
    Erasing,
    GoingOnErasing,
)
#: What must have been met: one that lost its commit would pass all the sooner.
RECORDS = ("insert into records", "insert into nodes", "commit nodes")
LEDGER = {
    SigningIn: ("commit nonces", "commit sessions"),
    Enrolling: ("insert into devices", *RECORDS),
    Entries: ("insert into kept", "commit allowances", *RECORDS),
    PhotoInPieces: ("insert into kept", "commit allowances", *RECORDS),
    PhotoWhole: ("insert into kept", *RECORDS),
    Erasing: ("insert into erased", "forget", *RECORDS),
    GoingOnErasing: ("forget",),
}
FOLDER = {
    Entries: ("write blobs/new", "fsync blobs/new", "replace blobs/new", "fsync blobs"),
    PhotoInPieces: ("write uploads", "fsync uploads", "replace uploads", "fsync blobs"),
    PhotoWhole: ("write uploads", "fsync uploads", "replace uploads", "fsync blobs"),
    WrongPhoto: ("write uploads", "fsync uploads", "unlink uploads"),
    Thumbnail: ("write thumbnails", "fsync thumbnails", "replace thumbnails"),
    Erasing: ("unlink blobs", "fsync blobs", "unlink thumbnails", "unlink uploads"),
    GoingOnErasing: ("unlink blobs", "fsync blobs", "unlink thumbnails", "unlink uploads"),
}
_IN_PARTS = ("begin parts", "put part", "complete")
_ERASED = ("list blobs", "delete blobs", "delete thumbnails", "put erased", "delete uploads")
STORE = {
    Entries: ("put blobs",),
    PhotoInPieces: ("put uploads", "put blobs", "list uploads", "delete uploads"),
    PhotoWhole: tuple(f"{how} {room}" for how in _IN_PARTS for room in ("uploads", "blobs")),
    WrongPhoto: ("put uploads", "list uploads", "delete uploads"),
    Thumbnail: ("put thumbnails",),
    Erasing: _ERASED,
    GoingOnErasing: _ERASED,
}
_IS_OF_SIZE = re.compile(rf"\w+ store ({'|'.join(_IN_PARTS)}) |\w+ (write|replace) uploads")
CHECKPOINT = ("before pwrite", "in pwrite", "after pwrite", "before fsync", "after fsync")


def must_meet(shop: Shop, act: type[Act]) -> set[str]:
    """Return the points that an act must have met, without their counts."""
    names = [f"ledger {name}" for name in LEDGER.get(act, ())]
    if isinstance(shop.store.blobs, BlobBucket):
        names += [f"store {name}" for name in STORE.get(act, ())]
    else:
        names += FOLDER.get(act, ())
    points = {f"{when} {name}" for name in names for when in ("before", "after")}
    points |= {f"in {name}" for name in names if name.startswith(("store", "write"))}
    if RECORDS[0] in LEDGER.get(act, ()):
        points |= {f"{when} newest-checkpoint" for when in CHECKPOINT}
        if shop.store.database.file is None:
            points.add("in ledger commit nodes")
    return points


@pytest.fixture(scope="module", params=PAIRS)
def begun(request, tmp_path_factory) -> Iterator[Callable[[int], Shop]]:
    """What begins a shop, of each number one."""
    ledger, _, photos = request.param.partition("+")
    seaweed = request.getfixturevalue("seaweed") if photos == "s3" else None
    with pytest.MonkeyPatch.context() as patch, ExitStack() as ends:
        if seaweed is not None:
            patch.setenv("AWS_ACCESS_KEY_ID", seaweed.key)
            patch.setenv("AWS_SECRET_ACCESS_KEY", seaweed.secret)

        @cache
        def begin(number: int) -> Shop:
            if ledger == "postgresql":
                url = request.getfixturevalue("postgres").url
                patch.setenv(VARIABLE, f"{url}?schema=points_{secrets.token_hex(6)}")
            where = {} if seaweed is None else {"photos": seaweed.url(KEEPS_VERSIONS)}
            folder = tmp_path_factory.mktemp("points").resolve() / "data"
            workshop = Workshop(folder, **where)
            served = Served(workshop.folder)
            ends.callback(served.end)
            return Shop(workshop, served)

        yield begin


@pytest.fixture
def shop(request, begun) -> Shop:
    """The shop of the tests before, or a new one after a failure: who knows how that one stands."""
    return begun(request.session.testsfailed)


@pytest.mark.parametrize("act", ACTS)
def test_a_server_killed_wherever_it_writes_keeps_what_it_said_and_goes_on(shop, act, request):
    act(shop).go()  # the first time, more may be new than the act itself
    warm = counted(shop, act, is_cold=False)
    cold = [] if act.is_a_start else counted(shop, act, is_cold=True)
    assert {point.rpartition(" ")[0] for point in warm + cold} >= must_meet(shop, act)
    are_all = request.config.getoption("--every-point")
    if act is PhotoWhole and not are_all:  # as one in pieces, but for the size
        warm, cold = [point for point in warm if _IS_OF_SIZE.match(point)], []
    for point in chosen(warm, are_all=are_all):
        die_at(shop, act, point, is_cold=False)
    # What a process does the first time it is asked: it draws what the device may send.
    for point in chosen([one for one in cold if one not in warm], are_all=are_all):
        die_at(shop, act, point, is_cold=True)
    shop.sweep_up()
