"""
Whether a workshop is well, looked at from its own folder: what will go wrong, before it does.

Each question is answered by a `Finding` that says what is so; what to do about it is said by its
code. Nothing is changed, and nothing is read through that grows with the years: `scrub` reads every
photo, `rebuild` every record.
"""

import statistics
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final, Literal

from twoturns.ledger.entry import CONSOLE
from twoturns.ledger.record import parse, stamp_of
from twoturns.store.contacts import last_contacts
from twoturns.store.errors import Damaged, PhotosAway, PhotosElsewhere, WrongKey
from twoturns.store.keyring import KEY_FILE
from twoturns.store.store import Store
from twoturns.store.times import as_text
from twoturns.words import t
from twoturns.words.en.store import doctor as words

# Chosen, because a daily backup that was missed twice is a matter for today, and one of two weeks
# is longer than most phones keep photos of their own.
OLD_BACKUP: Final = timedelta(days=2)
NO_BACKUP: Final = timedelta(days=14)
# Chosen: a phone in use signs in daily; after two weeks somebody should know where it is.
SILENT: Final = timedelta(days=14)
# Chosen: what is written is dated by this clock; whoever compares times with others' notices.
CLOCK_OFF: Final = timedelta(minutes=2)
RECENT_RECORDS: Final = 300
RECENT_KEPT: Final = 1_000
# Chosen: time enough to buy a disk.
ROOM_FOR_DAYS: Final = 60

_NO_BLOB: Final = "0" * 64  # of no bytes that anybody knows: asked for to hear an answer

Level = Literal["good", "look", "bad"]


@dataclass(frozen=True)
class Finding:
    """What was found of one matter; its code says which, and what to do if it is not `good`."""

    code: str
    level: Level
    says: str

    @property
    def hint(self) -> str:
        """What to do; empty where all is well."""
        return "" if self.level == "good" else t(words.HINTS[self.code])


def examine(store: Store, now: datetime) -> Iterator[Finding]:
    """Answer every question about a workshop's folder, one after the other."""
    for look in _LOOKS:
        yield from look(store, now)


def _records(store: Store, _: datetime) -> Iterator[Finding]:
    try:
        store.look_over()
    except Damaged as error:
        yield Finding("records", "bad", str(error))
    else:
        size = store.ledger.size()
        yield Finding("records", "good", t(words.RECORDS_WHOLE, size=size))


def _key(store: Store, _: datetime) -> Iterator[Finding]:
    path = store.folder / KEY_FILE
    try:
        mode = path.stat().st_mode & 0o777
    except FileNotFoundError:
        yield Finding("key-missing", "bad", t(words.KEY_MISSING, path=str(path)))
        return
    try:
        store.ledger.signer()
    except WrongKey as error:
        yield Finding("key-wrong", "bad", str(error))
        return
    is_private = not mode & 0o077
    says = words.KEY_PRIVATE if is_private else words.KEY_READABLE
    level: Level = "good" if is_private else "bad"
    yield Finding("key-mode", level, t(says, path=str(path), mode=f"{mode:o}"))


def _paper(store: Store, _: datetime) -> Iterator[Finding]:
    has_one = bool(store.ledger.roster().commitments)
    says = words.PAPER_THERE if has_one else words.PAPER_LACKS
    yield Finding("paper", "good" if has_one else "look", t(says))


def _standby(store: Store, _: datetime) -> Iterator[Finding]:
    has_one = store.database.has_standby()
    if has_one is not None:
        says = words.STANDBY_THERE if has_one else words.STANDBY_LACKS
        yield Finding("standby", "good" if has_one else "look", t(says))


def _disk(store: Store, now: datetime) -> Iterator[Finding]:
    free = store.uploads.free_bytes()
    daily = 0.0 if store.blobs.place else _bytes_a_day(store, now)
    left = max(0, free - store.uploads.floor_bytes)
    days = int(left / daily) if daily else None
    level: Level = "good"
    if left == 0:
        level = "bad"
    elif days is not None and days < ROOM_FOR_DAYS:
        level = "look"
    gib = free / 2**30
    says = words.DISK_LASTS if days is not None else words.DISK_FREE
    yield Finding("disk", level, t(says, gib=gib, days=days if days is not None else 0))


def _bytes_a_day(store: Store, now: datetime) -> float:
    """Return what photos and values took a day, by the newest of them; 0 where there are none."""
    texts = [row["record"] for row in store.database.rows(_NEWEST_KEPT, [RECENT_KEPT])]
    if not texts:
        return 0.0
    sizes = [blob["size"] for text in texts for blob in parse(text).entry.body["blobs"]]
    taken: int = sum(sizes)
    return taken / max(1.0, (now - _received(texts[-1])) / timedelta(days=1))


def _received(record: str) -> datetime:
    return datetime.fromisoformat(stamp_of(record).split(" ")[0])


def _clock(store: Store, now: datetime) -> Iterator[Finding]:
    texts = [row["record"] for row in store.database.rows(_NEWEST, [RECENT_RECORDS])]
    newest = max(_received(text) for text in texts)  # a workshop begins with a record
    if newest > now + CLOCK_OFF:
        said = t(words.CLOCK_BEHIND, newest=as_text(newest), now=as_text(now))
        yield Finding("clock-back", "bad", said)
        return
    records = [parse(text) for text in texts]
    offsets = [one.offset_ms for one in records if one.entry.person != CONSOLE]
    known = [offset for offset in offsets if offset is not None]
    middle = timedelta(milliseconds=statistics.median(known)) if known else timedelta()
    minutes = round(abs(middle) / timedelta(minutes=1))
    if abs(middle) > CLOCK_OFF:
        yield Finding("clock", "look", t(words.CLOCK_OFF, minutes=minutes))
    else:
        yield Finding("clock", "good", t(words.CLOCK_RIGHT, n=len(known)))


def _backup(store: Store, now: datetime) -> Iterator[Finding]:
    row = store.database.row(_LAST_BACKUP)
    if row is None:
        first = store.database.row(_FIRST)
        is_new = first is not None and now - _received(first["record"]) <= OLD_BACKUP
        yield Finding("backup", "look" if is_new else "bad", t(words.BACKUP_NEVER))
        return
    age = now - _received(row["record"])
    level: Level = "bad" if age > NO_BACKUP else "look" if age > OLD_BACKUP else "good"
    lacks = store.ledger.size() - store.views.backed_up(as_text(now))
    days = max(0, age.days)
    yield Finding("backup", level, t(words.BACKUP_AGE, days=days, lacks=lacks))


def _photo_store(store: Store, _: datetime) -> Iterator[Finding]:
    if not store.blobs.place:
        return
    try:
        store.blobs.has(_NO_BLOB)
    except (PhotosAway, PhotosElsewhere) as error:
        what = f"{error} {error.particulars}"
        yield Finding("photo-store", "bad", t(words.PHOTO_STORE_BAD, what=what))
    else:
        yield Finding("photo-store", "good", t(words.PHOTO_STORE_ANSWERS, where=store.blobs.place))


def _photos(store: Store, _: datetime) -> Iterator[Finding]:
    bad = [one for one in store.checks.bad() if one.found in ("altered", "missing", "mistyped")]
    if bad:
        yield Finding("photos", "bad", t(words.PHOTOS_DAMAGED, n=len(bad)))
        return
    read = store.checks.last_slice()
    if store.database.row(_ANY_KEPT) is None:
        yield Finding("photos", "good", t(words.PHOTOS_NONE))
    elif read is None:
        yield Finding("photos-unread", "look", t(words.PHOTOS_UNREAD))
    else:
        yield Finding("photos", "good", t(words.PHOTOS_WHOLE, day=read[:10]))


def _phones(store: Store, now: datetime) -> Iterator[Finding]:
    since = as_text(now - SILENT)
    heard = {row["device"]: max(row["signed_in"] or "", row["sent"] or "") for row in _heard(store)}
    active = [one for one in store.views.devices() if not one.is_revoked and not one.is_shut]
    silent = [one for one in active if heard.get(one.device, "") < since]
    for one in silent:
        at = heard.get(one.device, "")
        said = t(
            words.PHONE_SILENT, role=one.role, device=one.device[:8], day=at[:10], ever=bool(at)
        )
        yield Finding("phone", "look", said)
    if not silent:
        yield Finding("phone", "good", t(words.PHONES_CALL, n=len(active)))


def _heard(store: Store) -> list[dict[str, str | None]]:
    return [dict(row) for row in last_contacts(store.database)]


def _folder(store: Store, _: datetime) -> Iterator[Finding]:
    if _is_open_to_all(store.folder):
        yield Finding("folder", "look", t(words.FOLDER_OPEN, folder=str(store.folder)))
    else:
        yield Finding("folder", "good", t(words.FOLDER_PRIVATE))


def _is_open_to_all(folder: Path) -> bool:
    with suppress(OSError):
        return bool(folder.stat().st_mode & 0o007)
    return False


_LOOKS: Final[tuple[Callable[[Store, datetime], Iterator[Finding]], ...]] = (
    _records,
    _key,
    _paper,
    _folder,
    _standby,
    _disk,
    _clock,
    _backup,
    _photo_store,
    _photos,
    _phones,
)

_NEWEST_KEPT = """
select record from records where "index" in (
    select "index" from entries where kind = 'blob.kept' and job is null
    order by "index" desc limit ?)
order by "index" desc
"""
_NEWEST = 'select record from records order by "index" desc limit ?'
_ANY_KEPT = "select 1 from kept limit 1"
_FIRST = 'select record from records where "index" = 0'
_LAST_BACKUP = """
select record from records where "index" = (select max("index") from backups)
"""
