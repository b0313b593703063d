"""
How records become views: everything that can be computed from the records and the blobs.

`apply` takes one record in, in the order of the ledger, and is the only writer; a rebuild drops
all views and applies every record again, which gives the same rows. A statement takes effect when
its device might write it (`Roster.has_right`); a job's entries show in any case, because a
doubted entry is still what somebody said about an engine. What a revoked device sent is *held
back* (`shown` is null): it stands in the ledger, and no job shows it before an acceptance names it.
Then it is taken in as if it came with the acceptance, whose index is its place among what is shown.

An entry is found by its id among the records: an index of ids here too would cost as much again as
all else of it, as ids come in no order.

What blobs say is handed in (`BlobFacts`): nothing here reads a file or checks a bundle.
`summaries` is the one lazy view, filled from `unfolded`: what the desk folds out of a job, and what
the workshop states of it.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict
from operator import itemgetter
from typing import Any

from twoturns.ledger import canonical
from twoturns.ledger.entry import Entry
from twoturns.ledger.record import Record
from twoturns.ledger.roster import ROSTER_KINDS, Roster
from twoturns.ledger.standing import accepts, came_late, forks_nothing, standing
from twoturns.store import erasures, mentions, sight
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blob_texts import named_blobs, sought
from twoturns.store.database import Connection
from twoturns.store.job_growth import UNFOLDED, Growth
from twoturns.store.standing_facts import Known
from twoturns.store.stored import stored
from twoturns.trade.spelling import lot_key, tool_key

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
    odometer_km integer, vin_blob text, plate_blob text, vin text, plate text,
    entries integer not null default 0, first_received text not null,
    last_index integer not null, last_received text not null,
    closed integer, ended integer, resumed integer, ruled text,
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
    engine_codes text not null, "index" integer not null, withdrawn text) strict, without rowid;
create table bundle_assets (bundle text not null, blob text not null,
    primary key (bundle, blob)) strict, without rowid;
create index bundle_assets_blob on bundle_assets(blob);
create table tools (
    key text primary key, tool text not null, type text not null,
    label text not null) strict, without rowid;
create table calibrations ("index" integer primary key, key text not null, "on" text not null,
    due text not null) strict;
create index calibrations_key on calibrations(key);
create table recalled_lots ("index" integer primary key, key text not null, lot text not null,
    because text not null) strict;
create index recalled_lots_key on recalled_lots(key);
create table backups ("index" integer primary key, size integer not null, until text) strict;
create index jobs_bundle on jobs(bundle);
create index jobs_last_index on jobs(last_index);
create table summaries (
    job text primary key, changed integer not null, rank integer not null, ages integer not null,
    last_received text not null, summary text not null) strict, without rowid;
create index summaries_standing on summaries(rank) where ages = 0;
create index summaries_ageing on summaries(last_received, rank) where ages = 1;
create table unfolded (job text primary key, at integer not null) strict, without rowid;
"""
SCHEMA += mentions.SCHEMA + erasures.SCHEMA + sight.SCHEMA
TABLES = tuple(re.findall(r"create table (\w+)", SCHEMA))


class Projector:
    """Takes records into the views, inside the caller's transaction."""

    def __init__(self, db: Connection, roster: Roster, facts: BlobFacts) -> None:
        self._db, self._roster, self._facts = db, roster, facts
        self._known = Known(db)
        self._sights = sight.Follower(db, roster)
        self._growth = Growth(db)

    def expect(self, ids: Iterable[str]) -> None:
        """Ask at once what entries that may come in are going to be asked for one by one."""
        self._known.expect(ids)

    def finish(self) -> None:
        """Write what was kept back while records came in. Without it the views are not whole."""
        self._growth.write()

    def apply(self, index: int, record: Record) -> None:
        """Take in the record at an index: the next one, never one out of turn."""
        entry = record.entry
        self._known.come(entry)
        if entry.kind in ROSTER_KINDS:
            self._roster.apply(index, entry)
            self._copy_roster(index)
            sight.copy_persons(self._db, self._roster, index)
            self._tell_of_recovery(index)
        is_held = self._is_held(index, entry)
        is_right = self._roster.has_right(entry, index)
        is_aside = forks_nothing(entry, index, self._roster)
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
            self._take_effect(index, entry)
            device = self._roster.device(entry.device)
            assert device is not None  # noqa: S101 - it has the right
            erasures.take(self._db, index, record, device)

    # Held back

    def _is_held(self, index: int, entry: Entry) -> bool:
        """Say whether a revoked device sent it, and no acceptance that is here names it."""
        is_late = came_late(entry, index, self._roster)
        return is_late and not self._known.is_accepted(entry.id)

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
                self._sights.follow(index, record.entry)
            elif record.entry.kind == "job.opened":
                self._open_job(index, record.entry)

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
        for other in sorted(others - {entry.id}):
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
        ones = [[one] for one in ids]
        self._known.accept(ids)
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
            self._db.execute("update jobs set changed = ? where job = ?", [now, entry.job])
            self._db.execute(UNFOLDED, [entry.job, now])

    def _find(self, entry_id: str) -> tuple[int, Record] | None:
        row = self._db.execute(
            'select "index", record from records where id = ?', [entry_id]
        ).fetchone()
        return None if row is None else (row[0], stored(*row))

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
        if counts and entry.kind == "job.opened":
            self._open_job(index, entry)
        for lot in _texts(entry, "part.fitted", "lot"):
            self._finder("lot", lot, job)
        for tool in (*_texts(entry, "reading.taken", "tool"), *_texts(entry, "tool.out", "id")):
            self._finder("tool", tool, job)

    def _open_job(self, index: int, entry: Entry) -> None:
        """
        The first opening that counts names the vehicle; another is an exception of the fold's, and
        a doubted one is shown among the job's entries, and no more.
        """
        job, body = entry.job, entry.body
        vin, plate = body["vin"]["blob"], body["plate"]["blob"]
        opened = self._db.execute(
            _JOB_OPENS,
            {"opened": index, "job": job, "vin_blob": vin, "plate_blob": plate}
            | {name: body[name] for name in ("bundle", "engine_code", "bay", "odometer_km")},
        )
        if opened.rowcount:
            for blob in (vin, plate):
                if self._is_here(blob):
                    self._fill_vehicle(blob)

    def _fill_vehicle(self, blob: str) -> None:
        """Write a VIN or plate into the job it belongs to, once its private value is here."""
        named = {
            field: [row[0] for row in self._db.execute(sql, [blob]).fetchall()]
            for field, sql in _NAMED_AS.items()
        }
        if not any(named.values()):
            return
        value = self._facts.value(blob)
        if value is None:
            return  # not a private value, or damaged; in a rebuild also one that is erased later on
        for field, jobs in named.items():
            for job in jobs:
                self._db.execute(_FILL[field], [value, job])
                self._finder(field, value, job)

    def _finder(self, key: str, value: str, job: str) -> None:
        self._db.later(_FINDER, [key, sought(key, value), job])

    # Blobs

    def _is_here(self, blob: str) -> bool:
        """Say whether a blob is kept and not erased: its bytes may have been read before that."""
        return self._db.execute(_IS_HERE, [blob]).fetchone() is not None

    def _keep(self, index: int, body: Mapping[str, Any]) -> None:
        for kept in body["blobs"]:
            self._db.execute(
                "insert or ignore into kept values (?, ?, ?)", [kept["blob"], kept["size"], index]
            )
            if self._is_here(kept["blob"]):
                self._fill_vehicle(kept["blob"])
                self._note_bundle(index, kept["blob"])

    def _erase(self, index: int, body: Mapping[str, Any]) -> None:
        blob = body["blob"]
        if erasures.is_of_a_procedure(self._db, blob):
            return  # it is no personal data, and without it no bag of its jobs could be made
        self._db.execute("insert or ignore into erased values (?, ?)", [blob, index])
        for field in ("vin", "plate"):
            rows = self._db.execute(_NAMED_AS[field], [blob]).fetchall()
            for (job,) in rows:
                self._db.execute(_FILL[field], [None, job])
                self._db.execute("delete from finders where key = ? and job = ?", [field, job])

    # Statements

    def _take_effect(self, index: int, entry: Entry) -> None:
        effects: dict[str, Callable[[int, Mapping[str, Any]], None]] = {
            "blob.kept": self._keep,
            "blob.erased": self._erase,
            "person.named": lambda _, body: mentions.mention(
                self._db, body["name"]["blob"], mentions.WORKSHOP
            ),
            "bundle.published": self._publish,
            "bundle.withdrawn": self._withdraw,
            "tool.registered": self._register_tool,
            "tool.calibrated": self._calibrate_tool,
            "lot.recalled": self._recall_lot,
            "work.refused": self._refuse_work,
            "device.shut": self._shut_out,
            "backup.made": self._back_up,
            "backup.outside": self._back_up,
        }
        if entry.kind in effects and not self._speaks_of_a_lost_disk(entry):
            effects[entry.kind](index, entry.body)

    def _speaks_of_a_lost_disk(self, entry: Entry) -> bool:
        """
        Say whether the workshop said of its disk what a restore has undone.

        The workshop key numbers upwards, and after a restore far above all before; so a statement
        with a number below one that stands before it was brought back by a phone.
        """
        return entry.kind in ("blob.kept", "backup.made") and (
            self._db.execute(
                "select 1 from entries where device = ? and seq > ?", [entry.device, entry.seq]
            ).fetchone()
            is not None
        )

    def _copy_roster(self, index: int) -> None:
        """Copy the devices that the statement at an index brought in or revoked."""
        for device in self._roster.devices():
            if index in (device.enrolled_at, device.revoked_at):
                self._db.execute(
                    "insert or replace into devices values"
                    " (:thumbprint, :key, :role, :person, :enrolled_at, :revoked_at, :scope)",
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

    def _publish(self, index: int, body: Mapping[str, Any]) -> None:
        bundle, codes = body["bundle"], canonical.dumps(body["engine_codes"]).decode()
        self._db.execute(
            "insert or ignore into bundles values (?, null, ?, ?, ?, ?, null)",
            [bundle, body["name"], body["edition"], codes, index],
        )
        mentions.mention(self._db, bundle, mentions.WORKSHOP)
        self._stated(index, "bundle", bundle)
        if self._is_here(bundle):
            self._note_bundle(index, bundle)

    def _note_bundle(self, index: int, bundle: str) -> None:
        """Note a published bundle's id and pictures, once its bytes are here."""
        if self._db.execute("select 1 from bundles where bundle = ?", [bundle]).fetchone() is None:
            return
        said = self._facts.bundle(bundle)
        if said is None:
            return  # its bytes are no bundle, or damaged: it has no id and is never offered
        if said.wants_an_owner and not self._is_an_owners(bundle):
            # The command refuses to: who says it all the same has the key, and is no owner.
            self._db.execute("delete from bundles where bundle = ?", [bundle])
            return
        self._db.execute("update bundles set id = ? where bundle = ?", [said.id, bundle])
        self._db.executemany(
            "insert or ignore into bundle_assets values (?, ?)",
            [[bundle, picture] for picture in said.pictures],
        )
        self._stated(index, "bundle", bundle)

    def _is_an_owners(self, bundle: str) -> bool:
        """Say whether an owner's device, and not the console alone, has published a bundle."""
        said = f'%"bundle":"{bundle}"%'
        return self._db.execute(_PUBLISHED_BY_AN_OWNER, [said]).fetchone() is not None

    def _withdraw(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute(
            "update bundles set withdrawn = ? where bundle = ?", [body["because"], body["bundle"]]
        )
        self._stated(index, "bundle", body["bundle"])

    def _register_tool(self, index: int, body: Mapping[str, Any]) -> None:
        key = tool_key(body["tool"])
        self._db.execute(
            "insert or replace into tools values (?, ?, ?, ?)",
            [key, body["tool"], body["type"], body["label"]],
        )
        self._stated(index, "tool", key)

    def _calibrate_tool(self, index: int, body: Mapping[str, Any]) -> None:
        key, days = tool_key(body["tool"]), (body["on"], body["due"])
        self._db.execute("insert into calibrations values (?, ?, ?, ?)", [index, key, *days])
        self._stated(index, "tool_on_days", key, first=days[0], end=f"{days[1]}~")

    def _recall_lot(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute(
            "insert into recalled_lots values (?, ?, ?, ?)",
            [index, lot_key(body["lot"]), body["lot"], body["because"]],
        )
        self._stated(index, "lot", lot_key(body["lot"]))

    def _stated(self, index: int, of: str, name: str, **more: str) -> None:
        """Note that the statement at an index speaks of jobs: their place at the desk changes."""
        sql = f"insert or replace into unfolded {_STATED_OF[of]}"
        self._db.execute(sql, {"at": index, "of": name, **more})

    def _refuse_work(self, _: int, body: Mapping[str, Any]) -> None:
        self._db.executemany(
            "insert or ignore into refused values (?)", [[one] for one in body["entries"]]
        )

    def _shut_out(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute("insert or ignore into shut values (?, ?)", [body["device"], index])

    def _back_up(self, index: int, body: Mapping[str, Any]) -> None:
        self._db.execute(
            "insert into backups values (?, ?, ?)", [index, body["size"], body.get("until")]
        )


_ENTRY = "insert into entries values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
_RESTAND = """
update entries set standing = ?, standing_at = ? where "index" = ? and standing != ?
"""
_LATE = """
select device, seq from records join entries using ("index") where records.id = ? and forks = 0
"""
_FORKS = """
update entries set forks = 1 where "index" = (select "index" from records where id = ?)
"""
# What the workshop states of them has changed: the desk puts such jobs in another place.
_PUBLISHED_BY_AN_OWNER = """
select 1 from entries join records using ("index")
where entries.job is null and kind = 'bundle.published' and has_right and record like ?
    and device in (select device from devices where role = 'owner')
"""
_STATED_OF = {
    "bundle": "select job, :at from jobs where bundle = :of",
    "lot": "select job, :at from finders where key = 'lot' and value = :of",
    "tool": "select job, :at from finders where key = 'tool' and value = :of",
    "tool_on_days": "select job, :at from finders where key = 'tool' and value = :of"
    " and begun >= :first and begun < :end",
}
_FINDER = "insert or ignore into finders select ?, ?, first_received, job from jobs where job = ?"
_JOB_OPENS = """
update jobs set opened = :opened, bundle = :bundle, engine_code = :engine_code, bay = :bay,
    odometer_km = :odometer_km, vin_blob = :vin_blob, plate_blob = :plate_blob
where job = :job and opened is null
"""
_IS_HERE = "select 1 from kept where blob = ? and blob not in (select blob from erased)"
_NAMED_AS = {
    "vin": "select job from jobs join mentions using (job) where vin_blob = ? and blob = vin_blob",
    "plate": "select job from jobs join mentions using (job)"
    " where plate_blob = ? and blob = plate_blob",
}
_FILL = {
    "vin": "update jobs set vin = ? where job = ?",
    "plate": "update jobs set plate = ? where job = ?",
}


def _texts(entry: Entry, kind: str, name: str) -> list[str]:
    """Return the text a body has under a name, if the entry is of the kind and has it."""
    return [entry.body[name]] if entry.kind == kind and name in entry.body else []
