"""
How records become views: everything that can be computed from the records and the blobs.

`apply` takes one record in, in the order of the ledger, and is the only writer; a rebuild drops
all views and applies every record again, which gives the same rows. A statement takes effect when
its device might write it (`Roster.has_right`); a job's entries show in any case, because a
doubted entry is still what somebody said about an engine. What a revoked device sent is *held
back* (`shown` is null): it stands in the ledger, and no job shows it before an acceptance names it.
Then it is taken in as if it came with the acceptance, whose index is its place among what is shown.

An entry is found by its id through `ids`, which goes by the entries that have come in.

What blobs say is handed in (`BlobFacts`): nothing here reads a file or checks a bundle.
`summaries` is the one lazy view, filled from `unfolded`: what the desk folds out of a job, and what
the workshop states of it.
"""

import re
from collections.abc import Iterable
from dataclasses import asdict
from operator import itemgetter

from twoturns.ledger import canonical
from twoturns.ledger.entry import Entry
from twoturns.ledger.record import Record
from twoturns.ledger.roster import ROSTER_KINDS, Roster
from twoturns.ledger.standing import accepts, came_late, forks_nothing, standing
from twoturns.store import audits, dues, erasures, ids, mentions, photo_rows, sight
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blob_texts import named_blobs
from twoturns.store.effects import Effects
from twoturns.store.finders import OPENING, Finders
from twoturns.store.job_growth import UNFOLDED, Growth
from twoturns.store.port import Connection
from twoturns.store.standing_facts import Known
from twoturns.store.stored import stored

SCHEMA = """
create table entries (
    "index" integer primary key, id text not null, job text, device text not null,
    seq integer not null, kind text not null, received text not null,
    standing text not null, standing_at integer not null,
    has_right integer not null, shown integer, forks integer not null) strict;
create index entries_job on entries(job, shown, "index") where job is not null;
create index entries_device_seq on entries(device, seq, forks);
create index entries_restood on entries(standing_at) where standing_at > "index";
create index entries_odd on entries("index") where standing != 'good';
create index entries_shown on entries(shown, "index");
create index entries_held on entries(device, "index") where shown is null;
create index entries_unread on entries(device, received) where kind = 'unread';
create index statements on entries(kind, "index") where job is null;
create index statements_shown on entries(shown, "index") where job is null;
create index statements_told on entries(shown, "index") where job is null and kind != 'blob.kept';
create index entries_fitted on entries(job, "index") where kind = 'part.fitted';
create table waits (missing text not null, id text not null,
    primary key (missing, id)) strict, without rowid;
create table heads (id text primary key, "index" integer not null) strict, without rowid;
create table accepted (id text primary key) strict, without rowid;
create table refused (id text primary key) strict, without rowid;
create table devices (
    device text primary key, key text not null, role text not null, person text not null,
    enrolled_at integer not null, revoked_at integer, scope text) strict, without rowid;
create table shut (device text primary key, "index" integer not null) strict, without rowid;
create table jobs (
    job text primary key, opened integer, bundle text, engine_code text, bay text,
    odometer_km integer, odometer_unit text, vin_blob text, plate_blob text, vin text, plate text,
    enquired integer, declined integer, customer_blob text, phone_blob text,
    entries integer not null default 0, first_index integer not null,
    first_received text not null, last_index integer not null, last_received text not null,
    closed integer, ended integer, lasted integer, resumed integer, ruled text,
    changed integer not null) strict, without rowid;
create index jobs_vin_blob on jobs(vin_blob);
create index jobs_plate_blob on jobs(plate_blob);
create table finders (key text not null, value text not null, begun text not null,
    job text not null, primary key (key, value, begun, job)) strict, without rowid;
create index finders_job on finders(job, key);
create table kept (blob text primary key, size integer not null,
    "index" integer not null) strict, without rowid;
create table erased (blob text primary key, "index" integer not null) strict, without rowid;
create table bundles (
    bundle text primary key, id text, name text not null, edition integer not null,
    engine_codes text not null, "index" integer not null, withdrawn text,
    withdrawn_at integer) strict, without rowid;
create table bundle_assets (bundle text not null, blob text not null,
    primary key (bundle, blob)) strict, without rowid;
create index bundle_assets_blob on bundle_assets(blob);
create table tools (
    key text primary key, tool text not null, type text not null,
    label text not null, retired integer, retired_because text) strict, without rowid;
create table calibrations ("index" integer primary key, key text not null, "on" text not null,
    due text not null) strict;
create index calibrations_key on calibrations(key);
create table tool_checks ("index" integer primary key, key text not null,
    said text not null) strict;
create index tool_checks_key on tool_checks(key);
create table recalled_lots ("index" integer primary key, key text not null, lot text not null,
    because text not null, until text) strict;
create index recalled_lots_key on recalled_lots(key);
create table backups ("index" integer primary key, size integer not null, until text) strict;
create index jobs_bundle on jobs(bundle, first_received, job);
create index jobs_closed on jobs(bundle, closed) where closed is not null;
create index jobs_engine on jobs(engine_code, first_received, job);
create index jobs_last_index on jobs(last_index);
create table summaries (
    job text primary key, changed integer not null, rank integer not null, ages integer not null,
    last_received text not null, summary text not null) strict, without rowid;
create index summaries_standing on summaries(rank) where ages = 0;
create index summaries_ageing on summaries(last_received, rank) where ages = 1;
create table exceptions (code text not null, begun text not null, job text not null,
    primary key (code, begun, job)) strict, without rowid;
create index exceptions_job on exceptions(job);
create table unfolded (job text primary key, at integer not null) strict, without rowid;
"""
SCHEMA += dues.SCHEMA + ids.SCHEMA + mentions.SCHEMA + erasures.SCHEMA + sight.SCHEMA
SCHEMA += photo_rows.SCHEMA + audits.SCHEMA
TABLES = tuple(re.findall(r"create table (\w+)", SCHEMA))


class Projector:
    """Takes records into the views, inside the caller's transaction."""

    def __init__(self, db: Connection, roster: Roster, facts: BlobFacts, places: ids.Ids) -> None:
        self._db, self._roster, self._ids = db, roster, places
        self._known = Known(db, places)
        self._sights = sight.Follower(db, roster)
        self._growth = Growth(db)
        self._finders = Finders(db, facts)
        self._effects = Effects(db, facts, self._finders)

    def expect(self, entry_ids: Iterable[str]) -> None:
        """Ask at once what entries that may come in are going to be asked for one by one."""
        self._known.expect(entry_ids)

    def finish(self) -> None:
        """Write what was kept back while records came in. Without it the views are not whole."""
        self._growth.write()
        self._ids.write(self._db)

    def is_above_all(self, entry: Entry) -> bool:
        """Say whether an entry has a number above all that came in of its device: it is new."""
        return self._known.is_above_all(entry)

    def apply(self, index: int, record: Record) -> bool:
        """
        Take in the record at an index: the next one, never one out of turn.

        Returns:
            Whether it is shown, and not held back.
        """
        entry = record.entry
        self._known.come(index, entry)
        if entry.kind in ROSTER_KINDS:
            self._roster.apply(index, entry)
            self._copy_roster(index)
            sight.copy_persons(self._db, self._roster, index)
            self._tell_of_recovery(index)
        is_late = came_late(entry, index, self._roster)
        # What a revoked device sent, and no acceptance that is here names.
        is_held = is_late and not self._known.is_accepted(entry.id)
        is_aside = is_late and forks_nothing(entry, index, self._roster)
        is_right = self._roster.has_right(entry, index)
        said = (entry.id, entry.job, entry.device, entry.seq, entry.kind, record.received)
        shown = None if is_held else index
        forks = not is_aside or self._known.is_accepted(entry.id)
        self._db.later(_ENTRY, (index, *said, "good", index, is_right, shown, forks))
        if is_held:
            mentions.hold(self._db, entry)
        else:
            self._take_into_job(index, record, index, record.received, is_right=is_right)
        self._link(index, entry, is_held=is_held)
        self._stand(index, entry)
        if accepts(entry, index, self._roster):
            self._release(entry.body["entries"], index, record.received)
        if is_right and entry.job is None:
            self._effects.take(index, entry)
            device = self._roster.device(entry.device)
            assert device is not None  # noqa: S101 - it has the right
            erasures.take(self._db, index, record, device)
        return not is_held

    # Held back

    def _release(self, ids: list[str], now: int, received: str) -> None:
        """
        Show what was held back, in the order of the ledger, at the place of its acceptance; of what
        was shown before, though doubted, an opening now opens its job.
        """
        found = {one: self._find(one) for one in ids}
        for index, record in sorted((one for one in found.values() if one), key=itemgetter(0)):
            if self._known.is_held(record.entry.id):
                self._db.execute('update entries set shown = ? where "index" = ?', [now, index])
                mentions.let_go(self._db, record.entry)
                is_right = self._roster.has_right(record.entry, index)
                self._take_into_job(index, record, now, received, is_right=is_right)
                photo_rows.restand(self._db, index, record.entry)
                self._sights.follow(index, record.entry)
            elif record.entry.kind in OPENING:
                self._finders.open_job(index, record.entry)

    # Standing

    def _link(self, index: int, entry: Entry, *, is_held: bool) -> None:
        """
        Note what the entry waits for, and, among statements, which are the heads now. What is held
        back is none: others would name what nobody is shown.
        """
        for before in entry.after:
            if not self._known.has(before):
                self._known.wait(before, entry.id)
        if entry.job is None and not is_held:
            for before in entry.after:
                self._db.execute("delete from heads where id = ?", [before])
            if not self._known.waiting_for(entry.id):
                self._db.execute("insert into heads values (?, ?)", [entry.id, index])

    def _stand(self, index: int, entry: Entry) -> None:
        """Work out the standing of the entry, and of those it changes by coming in."""
        others = self._by_number(entry)
        if accepts(entry, index, self._roster):
            others |= self._accept(entry.body["entries"])
        waiting = self._known.waiting_for(entry.id)
        if waiting:
            others |= waiting
            self._known.end_waiting(entry.id)
        self._restand(index, index, entry)
        for other in sorted(others - {entry.id}) if others else ():
            found = self._find(other)
            if found is not None:  # an acceptance may name what has not come in yet
                self._restand(index, found[0], found[1].entry)

    def _by_number(self, entry: Entry) -> set[str]:
        """
        Return whose standing an entry may change by its number: only the second of a number makes
        a fork, and only the first closes a gap. Else who numbers all alike would have all of them
        looked at with each that comes.
        """
        if self._known.is_newest(entry):
            return set()
        device, seq = entry.device, entry.seq
        twins = self._known.forking(device, seq, 3)
        others = set(twins) if len(twins) == 2 and entry.id in twins else set()
        if not self._known.has_seq(device, seq, 2):
            sql = "select id from entries where device = ? and seq = ? and standing = 'gap'"
            others |= {row[0] for row in self._db.execute(sql, [device, seq + 1]).fetchall()}
        return others

    def _accept(self, ids: list[str]) -> set[str]:
        """Note what is accepted; return whose standing it may change: a late twin forks now."""
        self._known.accept(ids)
        ones = [[index] for one in ids if (index := self._known.index_of(one)) is not None]
        late = [row for one in ones for row in self._db.execute(_LATE, one).fetchall()]
        lone = {number for number in late if not self._known.is_forked(*number)}
        self._db.executemany(_FORKS, ones)
        return {*ids, *(twin for number in lone for twin in self._known.forking(*number))}

    def _restand(self, now: int, index: int, entry: Entry) -> None:
        is_now = standing(entry, index, self._roster, self._known)
        has_changed = not (index == now and is_now == "good") and (  # it came in as that
            self._db.execute(_RESTAND, [is_now, now, index, is_now]).rowcount == 1
        )
        self._sights.follow(index, entry)
        if has_changed and entry.job is not None:
            photo_rows.restand(self._db, index, entry)
            self._db.execute("update jobs set changed = ? where job = ?", [now, entry.job])
            self._db.execute(UNFOLDED, [entry.job, now])

    def _find(self, entry_id: str) -> tuple[int, Record] | None:
        index = self._known.index_of(entry_id)
        if index is None:
            return None
        (text,) = self._db.execute(_RECORD, [index]).fetchone()
        return index, stored(index, text)

    # Jobs

    def _take_into_job(
        self, index: int, record: Record, place: int, shown: str, *, is_right: bool
    ) -> None:
        """Let a job show an entry, from the record at `place` on, which came in at `shown`."""
        entry, job = record.entry, record.entry.job
        if job is None:
            return
        self._growth.count(job, record.received, place, shown)
        counts = is_right or self._known.is_accepted(entry.id)
        if counts:
            self._sights.note(index, entry, job, shown)
        for blob in named_blobs(entry.wire_body):
            mentions.mention(self._db, blob, job)
        if counts and entry.kind in OPENING:
            self._finders.open_job(index, entry)
        elif counts and entry.kind == "reading.corrected":
            self._finders.correct_opening(entry)
        self._finders.note(entry, job)
        if entry.kind == "photo.taken":
            photo_rows.note(self._db, index, record, job)

    # Devices

    def _copy_roster(self, index: int) -> None:
        """Copy the devices that the statement at an index brought in or revoked."""
        for device in self._roster.devices():
            if index in (device.enrolled_at, device.revoked_at):
                self._db.execute(
                    _DEVICE,
                    {"thumbprint": device.thumbprint, **asdict(device)}
                    | {"scope": device.scope and canonical.dumps(device.scope).decode()},
                )

    def _tell_of_recovery(self, index: int) -> None:
        """
        Have every standing that a recovery may have changed told once more, to those who pull.

        A rebuild judges by the recovery from the first record on, and sees no change.
        """
        for one in self._roster.recoveries:
            if one.index == index:
                self._db.execute(
                    'update entries set standing_at = :index where "index" < :index'
                    " and (\"index\" >= :size or standing != 'good')",
                    {"index": index, "size": one.size},
                )


_DEVICE = """
insert into devices values (:thumbprint, :key, :role, :person, :enrolled_at, :revoked_at, :scope)
on conflict (device) do update set key = excluded.key, role = excluded.role,
    person = excluded.person, enrolled_at = excluded.enrolled_at,
    revoked_at = excluded.revoked_at, scope = excluded.scope
"""
_ENTRY = "insert into entries values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
_RESTAND = """
update entries set standing = ?, standing_at = ? where "index" = ? and standing != ?
"""
_RECORD = 'select record from records where "index" = ?'
_LATE = 'select device, seq from entries where "index" = ? and forks = 0'
_FORKS = 'update entries set forks = 1 where "index" = ?'
